"""Judging readings: guard bands, printed limits, repeats, warm lengths, alignment sums, seats and wear-out."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from procforge.engineering.acceptance import Band, Verdict, Zone, acceptance_zone, judge, printed_limits
from procforge.engineering.base import Outside, Result
from procforge.engineering.gauges import gauge_ratio
from procforge.engineering.life import Weibull, weibull
from procforge.engineering.readings import (
    EXPANSION,
    STUDENT,
    Repeats,
    SumCheck,
    length_at_20,
    repeats,
    student,
    sum_check,
    thermal_growth,
)
from procforge.engineering.seats import fci_class_vi, iso_5208_rate

PASS, FAIL, UNDECIDED = Verdict.PASS, Verdict.FAIL, Verdict.UNDECIDED


def zone(found: Zone | Outside) -> tuple[float | None, float | None]:
    assert isinstance(found, Zone), found
    return tuple(None if side is None else float(side) for side in (found.low, found.high))  # type: ignore[return-value]


def value(found: Result | Outside) -> float:
    assert isinstance(found, Result), found
    return found.value


# ---- guard bands: w = U (k = 2), and w = 1.65 u (ISO 14253-1:2017, from memory); 10.00 to 10.10 with U 0.02


@pytest.mark.parametrize(("band", "low", "high"), [(Band.EXPANDED, 10.02, 10.08), (Band.ONE_SIDED, 10.0165, 10.0835)])
def test_acceptance_zones(band: Band, low: float, high: float) -> None:
    assert zone(acceptance_zone(10.00, 10.10, 0.02, band)) == (low, high)


def test_one_sided_factor() -> None:
    # 1.65 is the 95 % point of the normal distribution, one-sided (scipy)
    assert round(float(stats.norm.ppf(0.95)), 3) == 1.645
    assert Band.ONE_SIDED.width(Fraction(2)) == Fraction("1.65")


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        (10.02, PASS), (10.08, PASS), (10.05, PASS), (10.019, UNDECIDED), (10.081, UNDECIDED), (10.00, UNDECIDED),
        (10.10, UNDECIDED), (9.98, UNDECIDED), (10.12, UNDECIDED), (9.979, FAIL), (10.121, FAIL), (5, FAIL),
    ],
)  # fmt: skip
def test_three_verdicts(reading: float, verdict: Verdict) -> None:
    assert judge(reading, 10.00, 10.10, 0.02) is verdict


def test_the_narrower_band_decides_more() -> None:
    assert judge(10.017, 10.00, 10.10, 0.02) is UNDECIDED
    assert judge(10.017, 10.00, 10.10, 0.02, Band.ONE_SIDED) is PASS
    assert judge(10.118, 10.00, 10.10, 0.02, Band.ONE_SIDED) is FAIL


def test_one_limit_and_no_uncertainty() -> None:
    assert judge(0.1, None, 0.1) is PASS
    assert judge(0.1, None, 0.1, 0.01) is UNDECIDED
    assert judge(0.111, None, 0.1, 0.01) is FAIL
    assert judge(7, 5, None, 1) is PASS
    assert judge(Fraction(1, 3), Fraction(1, 3), None) is PASS


def test_an_uncertainty_that_swallows_the_tolerance() -> None:
    assert isinstance(acceptance_zone(10.00, 10.10, 0.06), Outside)
    assert judge(10.05, 10.00, 10.10, 0.06) is UNDECIDED  # nothing passes
    assert judge(11, 10.00, 10.10, 0.06) is FAIL
    assert zone(acceptance_zone(10.00, 10.10, 0.05)) == (10.05, 10.05)


@pytest.mark.parametrize(
    ("reading", "low", "high", "uncertainty"),
    [(math.nan, 0, 1, 0), (0.5, 1, 0, 0), (0.5, None, None, 0), (0.5, 0, 1, -0.1), (0.5, 0, math.inf, 0), (0.5, 0, 1, math.nan)],
)  # fmt: skip
def test_no_verdict(reading: float, low: float | None, high: float | None, uncertainty: float) -> None:
    found = judge(reading, low, high, uncertainty)
    assert isinstance(found, Outside)
    assert found.message and found.hint


FINE = st.integers(-2000, 2000).map(lambda n: Fraction(n, 100))


@given(FINE, FINE, FINE, st.integers(0, 500).map(lambda n: Fraction(n, 100)), st.sampled_from(Band))
def test_verdicts_against_intervals(reading: Fraction, a: Fraction, b: Fraction, u: Fraction, band: Band) -> None:
    # Independent: the interval reading ± w beside the interval of the limits: within, apart, or overlapping.
    low, high = min(a, b), max(a, b)
    w = u if band is Band.EXPANDED else u * Fraction(825, 1000)
    inside = low <= reading - w and reading + w <= high
    apart = reading + w < low or reading - w > high
    assert judge(reading, low, high, u, band) is (PASS if inside else FAIL if apart else UNDECIDED)
    found = acceptance_zone(low, high, u, band)
    assert isinstance(found, Outside) == (high - low < 2 * w)
    if isinstance(found, Zone) and found.low is not None and found.high is not None:
        assert inside == (found.low <= reading <= found.high)


# ---- limits printed for the field


def test_printed_limits() -> None:
    # arithmetic: 6.0 to 6.4 bar by a 0–10 bar gauge of class 1.0, off by 0.1 bar, read to 0.05
    assert zone(printed_limits(6.0, 6.4, 0.1, 0.05)) == (6.1, 6.3)
    assert zone(printed_limits(0.30, 0.50, 0.02, 0.05)) == (0.35, 0.45)  # 0.32 and 0.48, inwards to a mark
    assert zone(printed_limits(None, 0.1, 0.03, 0.02)) == (None, 0.06)
    assert zone(printed_limits(-1, None, 0.25, 0.5)) == (-0.5, None)
    assert isinstance(printed_limits(6.0, 6.1, 0.1), Outside)
    assert isinstance(printed_limits(6.0, 6.1, 0.01, 0.5), Outside)
    assert isinstance(printed_limits(6.0, 6.4, 0.1, 0), Outside)


@given(FINE, st.integers(0, 1000), st.integers(0, 100), st.integers(1, 50))
def test_printed_limits_prove_the_true_value(low: Fraction, width: int, error: int, step: int) -> None:
    high, off, mark = low + Fraction(width, 100), Fraction(error, 100), Fraction(step, 100)
    found = printed_limits(low, high, off, mark)
    marks = [k * mark for k in range(math.floor(low / mark), math.ceil(high / mark) + 1)]
    proving = [m for m in marks if low <= m - off and m + off <= high]
    if isinstance(found, Zone):
        assert (found.low, found.high) == (proving[0], proving[-1])
    else:
        assert proving == []


# A gauge against a limit of 0.1 bar: check values of the project, arithmetic on EN 837-1 classes; 4 is wanted
@pytest.mark.parametrize(("high", "accuracy", "ratio"), [(100e5, 1.0, 0.1), (10e5, 1.0, 1.0), (1e5, 1.6, 6.25)])
def test_gauge_ratio(high: float, accuracy: float, ratio: float) -> None:
    assert value(gauge_ratio(0.1e5, accuracy, 0, high)) == pytest.approx(ratio)
    assert isinstance(gauge_ratio(0.1e5, accuracy, 0, 0), Outside)


# ---- repeats


@pytest.mark.parametrize(("count", "t"), [(3, 4.303), (5, 2.776), (10, 2.262)])  # scipy
def test_student_rows(count: int, t: float) -> None:
    assert student(count) == t


@pytest.mark.parametrize("df", STUDENT)
def test_student_table_against_scipy(df: int) -> None:
    assert STUDENT[df] == pytest.approx(float(stats.t.ppf(0.975, df)), abs=0.00051)


@given(st.integers(2, 2000))
def test_between_rows_the_wider_interval_is_taken(count: int) -> None:
    found = student(count)
    assert isinstance(found, float)
    assert float(stats.t.ppf(0.975, count - 1)) - 0.00051 <= found <= float(stats.t.ppf(0.975, count - 1)) * 1.011


@pytest.mark.parametrize("values", [(10.01, 10.03, 10.02), (0.1, 0.2, 0.15, 0.12, 0.18), tuple(range(10)), (5.0, 5.0)])
def test_repeats_against_scipy(values: tuple[float, ...]) -> None:
    found = repeats(values)
    assert isinstance(found, Repeats)
    assert found.mean == pytest.approx(float(np.mean(values)))
    assert found.deviation == pytest.approx(float(np.std(values, ddof=1)))
    if found.deviation:
        low, high = stats.t.interval(0.95, len(values) - 1, np.mean(values), stats.sem(values))
        assert (found.mean - found.half_width, found.mean + found.half_width) == pytest.approx((low, high), rel=2e-4)


def test_repeats_refused() -> None:
    for values in ((), (1.0,), (1.0, math.nan), (1.0, 1e300), (1.0,) * 20_000):
        assert isinstance(repeats(values), Outside)


# ---- warm lengths


def test_thermal_growth() -> None:
    # 300 mm of steel, 10 K warmer: 0.0345 mm (check value of the project)
    assert value(thermal_growth(0.300, 10)) * 1000 == pytest.approx(0.0345)
    assert value(thermal_growth(0.300, -10)) * 1000 == pytest.approx(-0.0345)
    # aluminium grows about twice as much as steel, invariably so in handbooks (common practice, no source)
    assert EXPANSION["aluminium"] / EXPANSION["steel"] == pytest.approx(2, rel=0.02)
    for bad in (
        (0, 10, "steel"),
        (0.3, 500, "steel"),
        (0.3, 10, "wood"),
        (math.nan, 10, "steel"),
        (0.3, math.nan, "steel"),
    ):
        assert isinstance(thermal_growth(*bad), Outside), bad


@given(st.floats(0.001, 10), st.floats(250, 400), st.sampled_from(sorted(EXPANSION)))
def test_length_at_20_undoes_the_growth(length: float, temperature: float, material: str) -> None:
    warm = length + value(thermal_growth(length, temperature - 293.15, material))
    assert value(length_at_20(warm, temperature, material)) == pytest.approx(length, rel=1e-12)


# ---- alignment


@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(-1, 1))
def test_sum_check_holds_on_a_true_circle(across: float, up: float, zero: float) -> None:
    # Geometry: a rim dial on a shaft offset by (across, up) reads zero + offset·direction to first order.
    places = [(0, 1), (1, 0), (0, -1), (-1, 0)]
    found = sum_check(*(zero + across * x + up * y for x, y in places))
    assert isinstance(found, SumCheck) and found.holds


def test_sum_check() -> None:
    # Common practice, no source: top 0, right 8, bottom 20, left 12: 0 + 20 = 12 + 8
    good = sum_check(0.00, 0.08, 0.20, 0.12)
    assert isinstance(good, SumCheck) and good.holds and good.difference == 0
    slipped = sum_check(0.00, 0.08, 0.20, 0.18)
    assert isinstance(slipped, SumCheck) and not slipped.holds and slipped.difference == Fraction("0.06")
    edge = sum_check(0.00, 0.08, 0.20, 0.14)
    assert isinstance(edge, SumCheck) and edge.holds  # 0.02 is the tolerance, exactly
    assert isinstance(sum_check(math.nan, 0, 0, 0), Outside)
    assert isinstance(sum_check(0, 0, 0, 0, -0.1), Outside)


# ---- seat leakage


# FCI 70-2 class VI, mL/min at 1, 2, 3, 4, 6, 8 in (read)
@pytest.mark.parametrize(("inches", "flow"), [(1, 0.15), (2, 0.45), (3, 0.90), (4, 1.70), (6, 4.00), (8, 6.75)])
def test_fci_class_vi(inches: float, flow: float) -> None:
    assert value(fci_class_vi(inches * 0.0254)) * 60e6 == pytest.approx(flow)


# ISO 5208, liquid, mm³/s for each millimetre of DN (read)
@pytest.mark.parametrize(("rate", "factor"), [("B", 0.01), ("C", 0.03), ("D", 0.1), ("E", 0.3), ("F", 1), ("G", 2)])
def test_iso_5208(rate: str, factor: float) -> None:
    assert value(iso_5208_rate(rate, 100, gas=False)) * 1e9 == pytest.approx(factor * 100)


# ---- wear-out

# NIST/SEMATECH e-Handbook 8.4.1.3 (read): 20 units, 10 still running at 500 h
FAILED = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
RUNNING = (500,) * 10


def line(failed: tuple[float, ...], running: tuple[float, ...] = ()) -> Weibull:
    found = weibull(failed, running)
    assert isinstance(found, Weibull), found
    return found


def test_weibull_of_the_handbook() -> None:
    found = line(FAILED, RUNNING)
    assert found.slope == pytest.approx(1.7208, abs=0.00005)
    assert found.scale == pytest.approx(606.5280, abs=0.001)
    assert found.scale * math.gamma(1 + 1 / found.slope) == pytest.approx(540.737, abs=0.01)  # mean life, same page
    assert found.surviving(found.scale) == pytest.approx(math.exp(-1))
    assert found.surviving(0) == found.surviving(-5) == 1


@pytest.mark.parametrize("seed", range(4))
def test_weibull_against_scipy(seed: int) -> None:
    lives = stats.weibull_min.rvs(2.2, scale=4000, size=30, random_state=seed)
    failed, running = lives[lives < 4500], np.full((lives >= 4500).sum(), 4500.0)
    shape, _, scale = stats.weibull_min.fit(stats.CensoredData(failed, right=running), floc=0)
    found = line(tuple(map(float, failed)), tuple(map(float, running)))
    assert (found.slope, found.scale) == pytest.approx((shape, scale), rel=1e-3)


@given(st.floats(0.01, 1000))
def test_weibull_in_another_unit(factor: float) -> None:
    one, other = line(FAILED, RUNNING), line(tuple(f * factor for f in FAILED), tuple(f * factor for f in RUNNING))
    assert (other.slope, other.scale / factor) == pytest.approx((one.slope, one.scale))


def test_weibull_refused() -> None:
    for failed in (
        (),
        (5,),
        (5, 6),
        (5, 5, 5),
        (5, 6, -7),
        (5, 6, math.nan),
        (5, 6, 1e300),
        (5.0, 5.0000001, 5.0000002),
    ):
        assert isinstance(weibull(failed), Outside), failed
    assert isinstance(weibull((1e-7, 1.0, 1e7)), Weibull | Outside)
