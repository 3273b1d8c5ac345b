"""Judging a reading: pass, fail or undecided with a guard band, and the limits to print for an instrument in the field.

Numbers are in any one unit and taken as typed: the float 10.02 is the decimal 10.02, so a reading on a limit is on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, floor

from procforge.engineering.base import Outside
from procforge.engineering.figures import exact

Number = Fraction | float


class Band(Enum):
    """How wide the guard band is, from the expanded uncertainty U (k = 2)."""

    EXPANDED = "U"
    ONE_SIDED = "1.65 u"

    def width(self, uncertainty: Fraction) -> Fraction:
        """The band for an expanded uncertainty U = 2 u."""
        return uncertainty if self is Band.EXPANDED else uncertainty / 2 * Fraction(165, 100)

    @property
    def source(self) -> str:
        """The basis to print."""
        if self is Band.EXPANDED:
            return "guard band w = U (k = 2), common practice after ISO 14253-1"
        return "guard band w = 1.65 u (ISO 14253-1:2017, from memory)"


class Verdict(Enum):
    """What a reading shows of its limits."""

    PASS = "pass"
    FAIL = "fail"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Zone:
    """The readings that prove the limits are kept: `low` and `high` included, None on an open side; `band` is w."""

    low: Fraction | None
    high: Fraction | None
    band: Fraction
    source: str


def _checked(*numbers: Number | None) -> Outside | None:
    if any(isinstance(one, float) and not math.isfinite(one) for one in numbers):
        return Outside("a reading, a limit or an uncertainty is not a finite number", "check the values")
    return None


def _limits_fault(low: Number | None, high: Number | None, uncertainty: Number) -> Outside | None:
    if bad := _checked(low, high, uncertainty):
        return bad
    if low is None and high is None:
        return Outside("no limit is given", "write a lower or an upper limit")
    if low is not None and high is not None and exact(low) > exact(high):
        return Outside(f"the lower limit {low} is above the upper limit {high}", "write the lower limit first")
    if uncertainty < 0:
        return Outside(f"the uncertainty is {uncertainty}", "an uncertainty is not below 0")
    return None


def acceptance_zone(
    low: Number | None, high: Number | None, uncertainty: Number, band: Band = Band.EXPANDED
) -> Zone | Outside:
    """The limits drawn in by the guard band; Outside where the band leaves nothing between them."""
    if bad := _limits_fault(low, high, uncertainty):
        return bad
    w = band.width(exact(uncertainty))
    zone = Zone(None if low is None else exact(low) + w, None if high is None else exact(high) - w, w, band.source)
    if zone.low is not None and zone.high is not None and zone.low > zone.high:
        return Outside(
            f"an uncertainty of {float(uncertainty):g} leaves nothing between {low} and {high}",
            "use a finer instrument",
        )
    return zone


def judge(
    reading: Number, low: Number | None, high: Number | None, uncertainty: Number = 0.0, band: Band = Band.EXPANDED
) -> Verdict | Outside:
    """Pass inside the acceptance zone, fail beyond a limit by more than the band, undecided between.

    `uncertainty` is U, expanded with k = 2, in the unit of reading and limits. Where the band leaves no zone, nothing
    passes.
    """
    if bad := _checked(reading) or _limits_fault(low, high, uncertainty):
        return bad
    value, w = exact(reading), band.width(exact(uncertainty))
    below = None if low is None else value - exact(low)
    above = None if high is None else exact(high) - value
    margin = min(side for side in (below, above) if side is not None)
    if margin >= w:
        return Verdict.PASS
    return Verdict.FAIL if margin < -w else Verdict.UNDECIDED


def printed_limits(
    low: Number | None, high: Number | None, error: Number, resolution: Number | None = None
) -> Zone | Outside:
    """Limits to print for the field: drawn in by the instrument's error, then inwards to a mark it can show.

    `error` is the most the instrument may be off (its accuracy, same unit); `resolution` its smallest step.
    """
    if bad := _checked(resolution) or _limits_fault(low, high, error):
        return bad
    if resolution is not None and resolution <= 0:
        return Outside(f"the resolution is {resolution}", "write the smallest step the instrument shows")
    off = exact(error)
    least = None if low is None else exact(low) + off
    most = None if high is None else exact(high) - off
    if resolution is not None:
        step = exact(resolution)
        least = None if least is None else ceil(least / step) * step
        most = None if most is None else floor(most / step) * step
    if least is not None and most is not None and least > most:
        return Outside(
            f"an instrument that may be off by {float(error):g} leaves nothing between {low} and {high}",
            "use a finer instrument",
        )
    return Zone(least, most, off, "limits drawn in by the instrument's error; common practice after ISO 14253-1")
