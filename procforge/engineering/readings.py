"""Readings taken more than once or warm: mean with its interval, thermal length, the sum check of an alignment."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import fmean, stdev

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.figures import exact, positive, within

#: Student's t, 95 % two-sided, by degrees of freedom (printed tables; the tests compare them with scipy).
_TABLE = (
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160, 2.145, 2.131,
    2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042,
)  # fmt: skip
STUDENT: dict[int, float] = {**dict(enumerate(_TABLE, start=1)), 40: 2.021, 60: 2.000, 120: 1.980}
MOST_READINGS = 10_000

#: Linear expansion 1/K near 20 °C: handbook values, from memory, but for steel, whose 11.5e-6 the project was given.
EXPANSION: dict[str, float] = {
    "steel": 11.5e-6, "stainless-steel": 16.0e-6, "cast-iron": 10.5e-6, "aluminium": 23.1e-6, "brass": 19.0e-6,
    "bronze": 18.0e-6, "copper": 16.5e-6,
}  # fmt: skip
SUM_TOLERANCE = Fraction(2, 100)  # mm, common practice, no source


@dataclass(frozen=True, slots=True)
class Repeats:
    """Mean of n readings, their standard deviation s, and the half-width of the 95 % interval of the mean."""

    count: int
    mean: float
    deviation: float
    t: float
    half_width: float
    source: str = "Student's t, 95 % two-sided; JCGM 100:2008 (GUM) 4.2.3"


def student(count: int) -> float | Outside:
    """t for `count` readings, 95 % two-sided; between tabled degrees of freedom the next lower, so the wider one."""
    if count < 2:
        return Outside(f"{count} readings have no spread", "take at least 2, better 3")
    return STUDENT[max(df for df in STUDENT if df <= count - 1)]


def repeats(values: Sequence[float]) -> Repeats | Outside:
    """The mean of readings and how well it is known: t·s/√n."""
    if len(values) > MOST_READINGS:
        return Outside(f"{len(values)} readings are too many", f"take {MOST_READINGS} at most")
    t = student(len(values))
    if isinstance(t, Outside):
        return t
    for value in values:
        if bad := within("a reading", value, "", -1e12, 1e12):
            return bad
    deviation = stdev(values)
    return Repeats(len(values), fmean(values), deviation, t, t * deviation / math.sqrt(len(values)))


def thermal_growth(length: float, rise: float, material: str = "steel") -> Result | Outside:
    """Growth in m of a `length` in m for a `rise` in K (negative: cooling): ΔL = a·L·ΔT."""
    word = "-".join(material.lower().replace("-", " ").replace("_", " ").split())
    if word not in EXPANSION:
        return Outside(f"no expansion is known for '{material[:40]}'", f"write one of: {', '.join(EXPANSION)}")
    if bad := positive("the length", length, "mm", 1000.0) or within("the rise", rise, "K(d)", -100, 150):
        return bad
    a = EXPANSION[word]
    inputs = (Input("length L", length, "m"), Input("rise ΔT", rise, "K(d)"), Input(f"expansion a of {word}, 1/K", a))
    limits = ("the whole part at one temperature", "a between kinds of one material differs by some 10 %")
    return Result(a * length * rise, "m", "ΔL = a·L·ΔT", inputs, "handbook value (from memory)", limits)


def length_at_20(measured: float, temperature: float, material: str = "steel") -> Result | Outside:
    """A length in m measured at `temperature` in K, as it is at 20 °C (ISO 1): L = L_m/(1 + a·(T − 293.15 K)).

    For a measure that has kept 20 °C or does not grow; where part and measure are one material at one temperature
    nothing is to be corrected.
    """
    if bad := number("the temperature", temperature):
        return bad
    growth = thermal_growth(measured, temperature - 293.15, material)
    if isinstance(growth, Outside):
        return growth
    a_rise = growth.value / measured
    inputs = (
        Input("length as measured L_m", measured, "m"),
        Input("temperature T", temperature, "K"),
        growth.inputs[2],
    )
    source = f"ISO 1:2022, reference temperature 20 °C (from memory); {growth.source}"
    return Result(measured / (1 + a_rise), "m", "L = L_m/(1 + a·(T − 293.15 K))", inputs, source, growth.limits)


@dataclass(frozen=True, slots=True)
class SumCheck:
    """The sums of opposite readings of a dial turned once round, how far they differ, and whether that may be."""

    vertical: Fraction
    horizontal: Fraction
    difference: Fraction
    holds: bool
    source: str = "top + bottom = left + right on a true circle (geometry); tolerance: common practice, no source"


def sum_check(
    top: Fraction | float,
    right: Fraction | float,
    bottom: Fraction | float,
    left: Fraction | float,
    tolerance: Fraction | float = SUM_TOLERANCE,
) -> SumCheck | Outside:
    """Rim or face readings at four places a quarter turn apart, one unit: top + bottom must equal left + right.

    A difference beyond `tolerance` means a slipped dial, a bent bracket or a misread sign: take them again.
    """
    for value in (top, right, bottom, left, tolerance):
        if not math.isfinite(value):
            return Outside("a reading is not a finite number", "check the readings")
    if tolerance < 0:
        return Outside("the tolerance of the sum check is below 0", "write it as 0.02 mm")
    vertical, horizontal = exact(top) + exact(bottom), exact(left) + exact(right)
    difference = abs(vertical - horizontal)
    return SumCheck(vertical, horizontal, difference, difference <= exact(tolerance))
