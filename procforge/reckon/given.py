"""The user's options read: text to numbers in SI, with the mistake named at its option."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from procforge.engineering.base import Outside
from procforge.engineering.gas import find_gas, mixture
from procforge.engineering.gas_data import Gas
from procforge.engineering.threads import Thread, read_thread
from procforge.quantities import KINDS, Problem, Quantity, kind_words, read, read_number
from procforge.reckon.base import Calculation, Param, Wrong

MOST_VALUES = 2000
_PRESSURES = ("pressure", "pressure-gauge", "pressure-absolute", "pressure-difference")


@dataclass
class Given:
    """The options of one run. `values` hold what was read; numbers are floats in SI unless said otherwise."""

    values: dict[str, Any] = field(default_factory=dict)
    quantities: dict[str, Quantity] = field(default_factory=dict)

    def has(self, name: str) -> bool:
        """Whether the option was given, or has a default."""
        return name in self.values

    def num(self, name: str) -> float:
        """A number, SI."""
        return float(self.values[name])

    def exact(self, name: str) -> Fraction:
        """The same number, as typed."""
        value = self.values[name]
        return value if isinstance(value, Fraction) else Fraction(str(value))

    def text(self, name: str) -> str:
        """A word; "" where it was not given."""
        return str(self.values.get(name, ""))

    def flag(self, name: str) -> bool:
        """Whether the flag was set."""
        return bool(self.values.get(name, False))

    def count(self, name: str) -> int:
        """A whole number."""
        return int(self.values[name])

    def numbers(self, name: str) -> tuple[Fraction, ...]:
        """A list of plain numbers."""
        found: tuple[Fraction, ...] = self.values.get(name, ())
        return found

    def texts(self, name: str) -> tuple[str, ...]:
        """The texts of an option that may be given again."""
        found: tuple[str, ...] = self.values.get(name, ())
        return found

    def gas(self, name: str = "gas") -> Gas:
        """A gas or a mixture."""
        found: Gas = self.values[name]
        return found

    def thread(self, name: str = "thread") -> Thread:
        """A screw thread."""
        found: Thread = self.values[name]
        return found

    def symbol(self, name: str) -> str:
        """The unit the user wrote the option in."""
        return self.quantities[name].unit.symbol


def read_options(calculation: Calculation, typed: Mapping[str, str | bool | list[str] | None]) -> Given | Wrong:
    """What the options say; the first that can't be read is `Wrong`, with its name."""
    given = Given()
    for param in calculation.params:
        text = typed.get(param.name)
        if text is None or text == "" or text == []:
            if param.required:
                return Wrong(param.name, "it must be given", param.help)
            text = param.default or None
            if text is None:
                continue
        if param.many:
            given.values[param.name] = tuple(text) if isinstance(text, list) else (str(text),)
            continue
        if param.kind == "flag":
            given.values[param.name] = bool(text)
            continue
        reader = READERS.get(param.kind, _quantity)
        wrong = reader(given, param, str(text).strip())
        if wrong is not None:
            return wrong
    return given


def _wrong(param: Param, fault: Problem | Outside) -> Wrong:
    return Wrong(param.name, fault.message, fault.hint)


def _quantity(given: Given, param: Param, text: str) -> Wrong | None:
    found = read(text)
    if isinstance(found, Problem):
        return _wrong(param, found)
    if found.kind != param.kind:
        return _other_kind(param, found)
    given.quantities[param.name] = found
    given.values[param.name] = found.si
    return None


def _other_kind(param: Param, found: Quantity) -> Wrong:
    words, base = KINDS[param.kind]
    hint = f"write it in {base or 'a number'} or another unit of {words}"
    if found.kind == "pressure":
        symbol = found.unit.symbol
        hint = f"write {found.written} {symbol}(g) for gauge or {found.written} {symbol}(a) for absolute pressure"
    return Wrong(param.name, f"{found} is {_a(kind_words(found.kind))}; here {_a(words)} is wanted", hint)


def _a(words: str) -> str:
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def _absolute(given: Given, param: Param, text: str) -> Wrong | None:
    """An absolute pressure in Pa; a gauge pressure has the option `barometer` added."""
    found = read(text)
    if isinstance(found, Problem):
        return _wrong(param, found)
    if found.kind == "pressure-absolute":
        si = found.si
    elif found.kind == "pressure-gauge":
        si = found.si + given.values.get("barometer", Fraction(101325))
        if si < 0:
            return Wrong(param.name, f"{found} is below a perfect vacuum", "check the value and its unit")
    else:
        return _other_kind(Param(param.name, "pressure-absolute", param.help), found)
    given.quantities[param.name] = found
    given.values[param.name] = si
    return None


def _scale(given: Given, param: Param, text: str) -> Wrong | None:
    """A pressure of any reference; all such options of one command must have the same one."""
    found = read(text)
    if isinstance(found, Problem):
        return _wrong(param, found)
    if found.kind not in _PRESSURES:
        return _other_kind(Param(param.name, "pressure-gauge", param.help), found)
    for name, other in given.quantities.items():
        if other.kind in _PRESSURES and other.kind != found.kind:
            return Wrong(param.name, f"{found} and --{name} {other} have different references", "write both alike")
    given.quantities[param.name] = found
    given.values[param.name] = found.si
    return None


def _number(given: Given, param: Param, text: str) -> Wrong | None:
    found = read_number(text)
    if isinstance(found, Problem):
        return _wrong(param, found)
    given.values[param.name] = found
    return None


def _whole(given: Given, param: Param, text: str) -> Wrong | None:
    found = read_number(text)
    if isinstance(found, Problem):
        return _wrong(param, found)
    if found.denominator != 1:
        return Wrong(param.name, f"{text} is no whole number", "write a whole number")
    given.values[param.name] = int(found)
    return None


def _share(given: Given, param: Param, text: str) -> Wrong | None:
    """A share: `10 %` or `0.1`; of a gas also `21 %vol` or `500 ppm`."""
    plain = text.lstrip("\u00b1").strip()
    found = read_number(plain)
    if isinstance(found, Problem):
        meant = read(plain)
        if isinstance(meant, Problem):
            return _wrong(param, meant)
        if meant.kind not in ("ratio", "fraction-volume", "parts", "humidity", "lel"):
            return _other_kind(Param(param.name, "ratio", param.help), meant)
        if meant.kind == "lel":
            return Wrong(param.name, f"{meant} is a share of the lower explosive limit", "write %vol")
        found = meant.si
    given.values[param.name] = found
    return None


def _text(given: Given, param: Param, text: str) -> Wrong | None:
    given.values[param.name] = text
    return None


def _numbers(given: Given, param: Param, text: str) -> Wrong | None:
    """Plain numbers, separated by spaces, commas with a space, or semicolons."""
    parts = text.replace(";", " ").replace(", ", " ").split()
    if len(parts) > MOST_VALUES:
        return Wrong(param.name, f"{len(parts)} numbers are given", f"at most {MOST_VALUES} are read")
    found = []
    for part in parts:
        one = read_number(part)
        if isinstance(one, Problem):
            hint = 'separate the numbers by spaces, as in "10.1 10.3 10.2"' if "," in part else one.hint
            return Wrong(param.name, one.message, hint)
        found.append(one)
    given.values[param.name] = tuple(found)
    return None


def _gas(given: Given, param: Param, text: str) -> Wrong | None:
    """A gas by name or formula, or a mixture as `methane=60 %, carbon dioxide=40 %`."""
    found = _mixed(param, text) if "=" in text else find_gas(text)
    if isinstance(found, Wrong):
        return found
    if isinstance(found, Outside):
        return _wrong(param, found)
    given.values[param.name] = found
    return None


def _mixed(param: Param, text: str) -> Gas | Outside | Wrong:
    fractions: dict[str, float] = {}
    for part in text.split(","):
        name, _, share = part.partition("=")
        holder = Given()
        wrong = _share(holder, param, share.strip())
        if wrong is not None:
            return wrong
        if name.strip() in fractions:
            return Wrong(param.name, f"{name.strip()} stands twice", "write each gas once")
        fractions[name.strip()] = float(holder.values[param.name])
    return mixture(fractions)


def _thread(given: Given, param: Param, text: str) -> Wrong | None:
    found = read_thread(text)
    if isinstance(found, Outside):
        return _wrong(param, found)
    given.values[param.name] = found
    return None


#: How an option of a kind that is no kind of quantity is read.
READERS: dict[str, Callable[[Given, Param, str], Wrong | None]] = {
    "absolute": _absolute,
    "scale": _scale,
    "number": _number,
    "whole": _whole,
    "share": _share,
    "text": _text,
    "numbers": _numbers,
    "gas": _gas,
    "thread": _thread,
}
