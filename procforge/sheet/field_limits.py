"""The limit to print for the instrument in hand: drawn in by its error, so that a reading within it shows the true one.

A gauge of 0 to 1 bar(g), class 1.0, may be off by 0.01 bar: to prove 0.05 bar(g) it must read 0.04 bar(g) or less. An end
of the limits that lies at the end of the scale stays: no reading is asked for that the instrument cannot show.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from procforge.engineering.acceptance import Zone, printed_limits
from procforge.engineering.base import Outside
from procforge.engineering.gauges import gauge_error
from procforge.model.equipment import Gauge
from procforge.model.procedure import Limit
from procforge.quantities import Quantity
from procforge.quantities.quantity import Rounding, digits_of, shortest

DIGITS = 3


@dataclass(frozen=True, slots=True)
class FieldLimit:
    """The limits to read to, and the instrument's error they were drawn in by; None where nothing was."""

    limit: Limit | None
    error: Quantity | None = None


def field_limit(limit: Limit | None, instrument: object) -> FieldLimit:
    """The limits for an instrument with a range and an accuracy class; as they are for any other.

    Where the error would leave nothing between them they stay too: that gauge is a finding of the check.
    """
    if limit is None or not isinstance(instrument, Gauge) or instrument.low is None or instrument.high is None:
        return FieldLimit(limit)
    given = limit.high if limit.high is not None else limit.low
    if given is None or not instrument.accuracy or given.kind != instrument.high.kind:
        return FieldLimit(limit)
    low, high = instrument.low, instrument.high
    found = gauge_error(float(Fraction(instrument.accuracy)), float(low.si), float(high.si))
    if isinstance(found, Outside):
        return FieldLimit(limit)
    off = Fraction(instrument.accuracy) / 100 * (high.si - low.si)
    least = limit.low if limit.low is not None and limit.low.si > low.si else None
    most = limit.high if limit.high is not None and limit.high.si < high.si else None
    if least is None and most is None:
        return FieldLimit(limit)
    zone = printed_limits(None if least is None else least.si, None if most is None else most.si, off)
    if not isinstance(zone, Zone) or (limit.low is not None and zone.high is not None and zone.high < limit.low.si):
        return FieldLimit(limit)
    drawn = limit.but(
        low=limit.low if least is None else _as(least, zone.low, "up"),
        high=limit.high if most is None else _as(most, zone.high, "down"),
    )
    unit = given.unit
    return FieldLimit(drawn, Quantity(off / unit.factor, unit, shortest(off / unit.factor, DIGITS, "up")))


def _as(was: Quantity, si: Fraction | None, rounding: Rounding) -> Quantity:
    """A drawn-in end in the unit it was written in, rounded towards the safe side."""
    assert si is not None
    value = (si - was.unit.offset) / was.unit.factor
    text = shortest(value, max(DIGITS, digits_of(was.written) + 1), rounding)
    return Quantity(Fraction(text), was.unit, text)
