"""A tolerance on a value: relative or in a unit, even or uneven, and the limits it makes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from procforge.quantities.kinds import Problem, Unit, differs_in, kind_words
from procforge.quantities.quantity import Quantity, Rounding, digits_of, shortest, with_unit
from procforge.quantities.reading import LONGEST, split_number
from procforge.quantities.spelling import unit

_EVEN = ("±", "+/-", "+/\u2212", "+-", "+\u2212")
_SIGNS = "+-\u2212\u2013"


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Deviations `low` <= 0 <= `high`: shares of the value if `relative` (0.05 for 5 %), else in `unit`.

    Without a `unit` an absolute tolerance is in the unit of the value it stands behind.
    """

    low: Fraction
    high: Fraction
    relative: bool
    unit: Unit | None
    written: str

    def __str__(self) -> str:
        return self.written

    def limits(self, target: Quantity) -> tuple[Quantity, Quantity] | Problem:
        """The lowest and highest value allowed, in the target's unit: exact in value, printed rounded inwards.

        An absolute tolerance on a pressure or temperature is a difference: `± 0.1 bar` and `± 0.1 bar(d)` both fit
        `6 bar(g)`. A share of a temperature depends on its scale, and a share of a percentage reads two ways:
        Problems, like a unit of another kind.
        """
        if self.relative:
            if target.kind in ("temperature", "ratio"):
                what = "a percentage of a percentage" if target.kind == "ratio" else "a percentage of a temperature"
                return Problem(f"{what} can be read two ways", "write the tolerance in a unit or write both limits")
            size = abs(target.value)
            low, high = self.low * size, self.high * size
        else:
            if self.unit is not None and not _fits(self.unit.kind, target.kind):
                return Problem(
                    f"a tolerance in {self.unit.symbol} ({kind_words(self.unit.kind)}) does not fit {target}"
                    f" ({kind_words(target.kind)})",
                    f"write it in {target.unit.symbol} or in %",
                )
            scale = self.unit.factor / target.unit.factor if self.unit else Fraction(1)
            low, high = self.low * scale, self.high * scale
        return _limit(target, target.value + low, "up"), _limit(target, target.value + high, "down")


def _fits(kind: str, target: str) -> bool:
    if kind in (target, differs_in(target)):
        return True
    return kind == "pressure" and differs_in(target) == "pressure-difference"


def _limit(target: Quantity, value: Fraction, inwards: Rounding) -> Quantity:
    return Quantity(value, target.unit, shortest(value, digits_of(target.written) + 2, inwards))


@lru_cache(maxsize=1024)
def read_tolerance(text: str) -> Tolerance | Problem:
    """`± 5 %`, `+/- 3`, `+/- 3 N.m`, `+10 % -5 %`, `+0.2 -0.1 mm`."""
    if len(text) > LONGEST:
        return Problem("too long for a tolerance", "write it as ± 5 % or +10 % -5 %")
    text = text.strip()
    for sign in _EVEN:
        if text.startswith(sign):
            return _even(text[len(sign) :].strip())
    if text[:1] and text[0] in _SIGNS:
        return _uneven(text)
    return Problem("a tolerance begins with ±, +/-, + or -", "write it as ± 5 % or +10 % -5 %")


def _even(text: str) -> Tolerance | Problem:
    if text[:1] and text[0] in _SIGNS:
        return Problem("a second sign stands behind ±", "write the number without a sign")
    part = _part(text)
    if isinstance(part, Problem):
        return part
    value, written, meant = part
    return _made(-value, value, meant, f"± {_with(written, meant)}")


def _uneven(text: str) -> Tolerance | Problem:
    cut = max(filter(lambda at: _starts_part(text, at), range(1, len(text))), default=0)
    if not cut:
        return Problem("only one side of the tolerance is written", "write both, such as +10 % -5 % or +10 % -0 %")
    first, second = text[:cut].rstrip(" ,/"), text[cut:]
    if (first[0] == "+") == (second[0] == "+"):
        return Problem("both sides of the tolerance have the same sign", "write the two limits instead")
    a, b = _part(first[1:].strip()), _part(second[1:].strip())
    if isinstance(a, Problem):
        return a
    if isinstance(b, Problem):
        return b
    if a[2] != b[2] and a[2] is not None:
        return Problem("the two sides of the tolerance differ in unit", "write both sides in one unit")
    if first[0] != "+":
        a, b = b, a
    meant = a[2] or b[2]
    return _made(-b[0], a[0], meant, f"+{_with(a[1], meant)} -{_with(b[1], meant)}")


def _starts_part(text: str, at: int) -> bool:
    """Whether a signed number begins here; not so in `ft-lb`, `min-1` or `1e-3`."""
    return text[at] in _SIGNS and not text[at - 1].isalpha() and text[at + 1 :].lstrip()[:1].isdigit()


def _part(text: str) -> tuple[Fraction, str, Unit | None] | Problem:
    """A number without a sign, and its unit if one is written."""
    number = split_number(text)
    if isinstance(number, Problem):
        return number
    value, written, rest = number
    if not rest:
        return value, written, None
    meant = unit(rest)
    return meant if isinstance(meant, Problem) else (value, written, meant)


def _made(low: Fraction, high: Fraction, meant: Unit | None, written: str) -> Tolerance | Problem:
    if low == high:
        return Problem("a tolerance of nothing cannot be met", "write how far the value may be off")
    if meant is None or meant.kind != "ratio":
        return Tolerance(low, high, False, meant, written)
    low, high = low * meant.factor, high * meant.factor
    if low < -1:
        return Problem("a tolerance of more than 100 % passes zero", "check the number")
    return Tolerance(low, high, True, None, written)


def _with(number: str, meant: Unit | None) -> str:
    return with_unit(number, meant) if meant else number
