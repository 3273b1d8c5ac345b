"""A number with its unit, exact, and how it is printed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from procforge.quantities.kinds import Problem, Unit, kind_words
from procforge.quantities.spelling import unit

Rounding = Literal["nearest", "down", "up"]
LEAST_DIGITS = 3  # a converted value is printed with at least these, so that 25 lbf·ft is 33.9 N·m
_WORDS = ("turn", "week", "month", "year")  # units that are words, and so take a plural
COUNT = Unit("", "count", Fraction(1))


@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """`value` in `unit`; `written` holds the digits to print, as the user wrote them or rounded by `to`.

    Equal means the same kind and the same size, so 1 bar(g) equals 100 kPa(g) and their hashes agree; use `str` to
    tell how each was written. Quantities of two kinds are unequal; asking which is the greater raises ValueError.
    """

    value: Fraction
    unit: Unit
    written: str

    @property
    def si(self) -> Fraction:
        """The value in the base unit of its kind (`KINDS`)."""
        return self.value * self.unit.factor + self.unit.offset

    @property
    def kind(self) -> str:
        """The kind tag, a key of `KINDS`."""
        return self.unit.kind

    def to(self, unit_symbol: str) -> Quantity:
        """The same quantity in another unit of its kind, exact in `value`; ValueError for any other unit."""
        return _in_unit(self.si, _unit_of(unit_symbol), max(LEAST_DIGITS, digits_of(self.written)), self.kind)

    def __str__(self) -> str:
        return with_unit(self.written, self.unit)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity):
            return NotImplemented
        return self.kind == other.kind and self.si == other.si

    def __hash__(self) -> int:
        return hash((self.kind, self.si))

    def __lt__(self, other: Quantity) -> bool:
        return self.si < _comparable_si(self, other)

    def __le__(self, other: Quantity) -> bool:
        return self.si <= _comparable_si(self, other)

    def __gt__(self, other: Quantity) -> bool:
        return self.si > _comparable_si(self, other)

    def __ge__(self, other: Quantity) -> bool:
        return self.si >= _comparable_si(self, other)


def comparable(a: Quantity, b: Quantity) -> bool:
    """Whether the two are of one kind, so that `<` and `to` make sense between them."""
    return a.kind == b.kind


def from_si(value: Fraction | float, unit_symbol: str, digits: int = LEAST_DIGITS) -> Quantity:
    """A computed value in the base unit of its kind, as a quantity in `unit_symbol` printed to `digits`.

    ValueError for an unknown unit or a value that is not finite.
    """
    target = _unit_of(unit_symbol)
    try:
        exact = Fraction(value)
    except (OverflowError, ValueError):
        raise ValueError(f"{value} is not a finite number") from None
    return _in_unit(exact, target, digits, target.kind)


def show(q: Quantity, digits: int | None = None, second: str | None = None, rounding: Rounding = "nearest") -> str:
    """`60 N·m`, or with a second unit `60 N·m (44.3 lbf·ft)`.

    `digits`: significant digits of both; left out, the first is printed as written and the second to as many, three
    at least. `rounding` `down` or `up` (towards lower or higher) keeps a rounded limit on its safe side. ValueError
    if `second` is no unit of the same kind.
    """
    first = with_unit(q.written if digits is None else rounded(q.value, digits, rounding), q.unit)
    if second is None:
        return first
    other = _unit_of(second)
    _same_kind(q.kind, other.kind)
    if other == q.unit:
        return first
    value = (q.si - other.offset) / other.factor
    places = digits or max(LEAST_DIGITS, digits_of(q.written))
    text = shortest(value, places, rounding) if digits is None else rounded(value, places, rounding)
    return f"{first} ({with_unit(text, other)})"


def with_unit(number: str, unit_: Unit) -> str:
    """Number and unit with a plain space between; an angle's ° stands close, as the SI Brochure has it."""
    symbol = unit_.symbol
    if symbol in ("°", ""):
        return number + symbol
    if symbol in _WORDS and number not in ("1", "-1", "+1"):
        symbol += "s"
    return f"{number} {symbol}"


def digits_of(written: str) -> int:
    """Significant digits of a number as written; 1 for a common fraction or zero, trailing zeros counted."""
    if "/" in written:
        return 1
    mantissa = written.lower().partition("e")[0].lstrip("+-").replace(".", "").lstrip("0")
    return max(1, len(mantissa))


def rounded(value: Fraction, digits: int, rounding: Rounding = "nearest") -> str:
    """`value` to `digits` significant digits, without exponent up to 10^15; a half goes away from zero."""
    if digits < 1:
        raise ValueError("at least one significant digit is needed")
    if not value:
        return "0"
    sign, size = ("-" if value < 0 else ""), abs(value)
    up = rounding == "up" if value > 0 else rounding == "down"
    place = _leading_place(size) - digits + 1
    scaled = size / Fraction(10) ** place
    whole = int(scaled + Fraction(1, 2)) if rounding == "nearest" else -int(-scaled // 1) if up else int(scaled)
    if whole == 10**digits:  # 9.99 became 10.0
        whole, place = whole // 10, place + 1
    text = str(whole)
    if place > 15 or place + digits < -6:
        tail = f".{text[1:]}" if digits > 1 else ""
        return f"{sign}{text[0]}{tail}e{place + digits - 1}"
    if place >= 0:
        return sign + text + "0" * place
    text = text.rjust(1 - place, "0")
    return f"{sign}{text[:place]}.{text[place:]}"


def _leading_place(size: Fraction) -> int:
    """The power of ten of the first digit of a positive number."""
    place = len(str(size.numerator)) - len(str(size.denominator))
    return place if size >= Fraction(10) ** place else place - 1


def shortest(value: Fraction, digits: int, rounding: Rounding = "nearest") -> str:
    """Rounded, less the zeros that say nothing where the rounding lost nothing: 68 °F, not 68.0."""
    text = rounded(value, digits, rounding)
    if "." in text and "e" not in text and Fraction(text) == value:
        return text.rstrip("0").rstrip(".")
    return text


def _in_unit(si: Fraction, target: Unit, digits: int, kind: str) -> Quantity:
    _same_kind(kind, target.kind)
    value = (si - target.offset) / target.factor
    return Quantity(value, target, shortest(value, digits))


def _unit_of(symbol: str) -> Unit:
    found = unit(symbol)
    if isinstance(found, Problem):
        raise ValueError(f"{found.message}; {found.hint}")
    return found


def _same_kind(a: str, b: str) -> None:
    if a != b:
        raise ValueError(f"{kind_words(a)} and {kind_words(b)} do not mix")


def _comparable_si(a: Quantity, b: Quantity) -> Fraction:
    _same_kind(a.kind, b.kind)
    return b.si
