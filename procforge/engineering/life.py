"""How a kind of part wears out: a Weibull line through the hours of parts that failed and of parts that have not yet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from procforge.engineering.base import Outside, number

MOST_HOURS = 1e7
MOST_PARTS = 10_000
STEEPEST = 50.0  # a slope beyond this says the hours are all but equal


@dataclass(frozen=True, slots=True)
class Weibull:
    """`slope` β (below 1 early failures, about 1 chance, above 1 wear) and `scale` η in the unit of the hours given."""

    slope: float
    scale: float
    failures: int
    source: str = "maximum likelihood for right-censored data, NIST/SEMATECH e-Handbook 8.4.1.3 (at second hand)"
    limits: tuple[str, ...] = ("one kind of part, one way of failing, one duty",)

    def surviving(self, hours: float) -> float:
        """The share expected to be still good after `hours`."""
        return math.exp(-((max(0.0, hours) / self.scale) ** self.slope))


def weibull(failed: Sequence[float], running: Sequence[float] = ()) -> Weibull | Outside:
    """Fit to the lives of parts that `failed` and the hours so far of those still `running`, one unit throughout.

    At least 3 different lives to failure. η^β = Σ t^β / r, and β solves Σ t^β ln t/Σ t^β − 1/β = (Σ ln t_f)/r.
    """
    everyone = [*failed, *running]
    if len(everyone) > MOST_PARTS:
        return Outside(f"{len(everyone)} parts are too many", f"give {MOST_PARTS} at most")
    for hours in everyone:
        if bad := number("a life", hours, above=0, most=MOST_HOURS):
            return bad
    if len(set(failed)) < 3:
        return Outside("fewer than 3 different lives to failure give no line", "collect more records")
    longest = max(everyone)
    logs = [math.log(hours / longest) for hours in everyone]  # at most 0, so no power overflows
    wanted = math.fsum(math.log(hours / longest) for hours in failed) / len(failed)

    def excess(slope: float) -> float:
        powers = [math.exp(slope * log) for log in logs]
        return math.fsum(p * log for p, log in zip(powers, logs, strict=True)) / math.fsum(powers) - 1 / slope - wanted

    low, high = 1e-3, STEEPEST
    if excess(low) > 0 or excess(high) < 0:
        return Outside("the lives are too much alike, or too scattered, for a line", "check the records")
    for _ in range(100):  # excess rises with the slope: halve the interval
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) < 0 else (low, middle)
    slope = (low + high) / 2
    total = math.fsum(math.exp(slope * log) for log in logs)
    return Weibull(slope, longest * (total / len(failed)) ** (1 / slope), len(failed))
