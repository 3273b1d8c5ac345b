"""A quantity printed in a second unit beside its own; a limit never wider there than in its own."""

from __future__ import annotations

from fractions import Fraction

from procforge.quantities.kinds import Unit
from procforge.quantities.quantity import LEAST_DIGITS, Quantity, Rounding, digits_of, shortest, with_unit
from procforge.quantities.reading import read_number

MOST_DIGITS = 8
_LOSS = Fraction(1, 10)  # of a range that rounding inwards may take away


def second(q: Quantity, other: Unit, rounding: Rounding = "nearest") -> str:
    """`44.3 lbf·ft` for 60 N·m; as many significant digits as were written, three at least.

    A lower limit is to be rounded `up`, an upper one `down`: whoever works by the second unit then stays within the
    first. Reckoned from the digits as printed, not from a value behind them. "" where `other` is the quantity's own unit. ValueError for a unit of another kind.
    """
    if other == q.unit:
        return ""
    return with_unit(shortest(_value(q, other), max(LEAST_DIGITS, digits_of(q.written)), rounding), other)


def second_span(low: Quantity | None, high: Quantity | None, other: Unit) -> str:
    """`42.1 to 46.4 lbf·ft` for 57 to 63 N·m, `0.725 psi(g) or less`, `14.6 psi(g) or more`; "" without a limit.

    Rounded inwards, so that the printed range lies within the first one, with so many digits that the rounding takes
    no more than a tenth of it away and never turns it round. "" where both limits are in `other` as they stand.
    ValueError for a unit of another kind.
    """
    given = [q for q in (low, high) if q is not None]
    if all(q.unit == other for q in given):
        return ""
    digits = max(LEAST_DIGITS, *(digits_of(q.written) for q in given))
    if low is None or high is None:
        q = given[0]
        text = with_unit(shortest(_value(q, other), digits, "up" if high is None else "down"), other)
        return f"{text} or {'more' if high is None else 'less'}"
    start, stop = _value(low, other), _value(high, other)
    while True:
        texts = shortest(start, digits, "up"), shortest(stop, digits, "down")
        left = Fraction(texts[1]) - Fraction(texts[0])
        if digits >= MOST_DIGITS or left >= (stop - start) * (1 - _LOSS):
            break
        digits += 1
    if left < 0:  # closer together than any digits we print: no range is better than a wrong one
        return ""
    return f"{texts[0]} to {with_unit(texts[1], other)}"


def _value(q: Quantity, other: Unit) -> Fraction:
    if q.kind != other.kind:
        raise ValueError(f"{q} has no value in {other.symbol}")
    return (_printed(q) * q.unit.factor + q.unit.offset - other.offset) / other.factor


def _printed(q: Quantity) -> Fraction:
    """The number as it stands in print, which may be rounded: the reader has no other."""
    found = read_number(q.written)
    return found if isinstance(found, Fraction) else q.value
