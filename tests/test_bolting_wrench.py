"""The torque wrench against ISO 6789 as quoted, and what it can be set to."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.engineering.base import Outside, Result
from procforge.engineering.wrench import (
    Wrench,
    accuracy_ratio,
    adapter_setting,
    graduation,
    judge_wrench,
    rising,
    settings,
    usable_low,
    wrench_error,
)
from procforge.findings import Severity


def value(found: Result | Outside) -> float:
    assert isinstance(found, Result), found
    return found.value


def kinds(wrench: Wrench, torque: float, tolerance: float | None = None) -> list[str]:
    found = judge_wrench(wrench, torque, tolerance)
    assert not isinstance(found, Outside), found
    return [fault.kind for fault in found]


# ISO 6789 (at second hand): ±6 % where the highest mark is up to 10 N·m, ±4 % above
@pytest.mark.parametrize(("highest", "error"), [(5, 0.06), (10, 0.06), (10.5, 0.04), (100, 0.04)])
def test_error_of_a_wrench(highest: float, error: float) -> None:
    assert value(wrench_error(Wrench(1, highest))) == error
    assert value(wrench_error(Wrench(1, highest, error=0.02))) == 0.02


# ISO 6789 tests at 20, 60 and 100 % of the range (at second hand): so not below max(lowest mark, 20 %)
@pytest.mark.parametrize(
    ("lowest", "highest", "low"), [(20, 100, 20), (10, 100, 20), (40, 200, 40), (60, 200, 60), (0, 50, 10)]
)
def test_usable_range(lowest: float, highest: float, low: float) -> None:
    assert value(usable_low(Wrench(lowest, highest))) == pytest.approx(low)


def test_accuracy_ratio() -> None:
    # Common practice, 4 to 1: ±10 % needs ±2.5 %; a ±4 % wrench gives 2.5 to 1
    assert value(accuracy_ratio(0.10, 0.025)) == pytest.approx(4)
    assert value(accuracy_ratio(0.10, 0.04)) == pytest.approx(2.5)
    assert isinstance(accuracy_ratio(0.10, 0), Outside)


def test_adapter() -> None:
    # Setting = T·L/(L + E), from memory; a bolt supplier's sheet works 100 N·m, 500 to 650 mm: 130 N·m (at second hand)
    assert value(adapter_setting(130, 0.500, 0.150)) == pytest.approx(100)
    assert value(adapter_setting(60, 0.4, 0.1, angle=90)) == pytest.approx(60)
    assert value(adapter_setting(60, 0.4, 0.1, angle=180)) == pytest.approx(80)
    assert value(adapter_setting(60, 0.4, 0.0)) == 60
    for bad in ((60, 0, 0.1, 0), (60, 0.4, -0.1, 0), (60, 0.4, 0.1, 200), (60, 0.4, 0.3, 180), (math.nan, 0.4, 0.1, 0)):
        assert isinstance(adapter_setting(*bad), Outside), bad


@given(st.floats(1, 1000), st.floats(0.2, 2), st.floats(0, 0.5), st.floats(0, 90))
def test_adapter_by_moments(torque: float, length: float, extension: float, angle: float) -> None:
    # Independent: a hand force square to the wrench, its moment about the drive and about the nut by vectors.
    found = adapter_setting(torque, length, extension, angle)
    force = value(found) / length
    nut = complex(extension * math.cos(math.radians(angle)), extension * math.sin(math.radians(angle)))
    lever = complex(-length, 0) - nut
    pull = complex(0, -force)
    assert abs(lever.real * pull.imag - lever.imag * pull.real) == pytest.approx(torque, rel=1e-9)


def test_a_wrench_for_the_job() -> None:
    wrench = Wrench(20, 100, 1)
    assert kinds(wrench, 60) == []
    assert kinds(wrench, 60, 0.16) == []
    assert kinds(wrench, 60, 0.10) == ["accuracy-ratio-low"]
    assert kinds(wrench, 60, 0.03) == ["wrench-too-coarse"]
    assert kinds(wrench, 120) == ["wrench-too-small"]
    assert kinds(wrench, 15) == ["wrench-too-large"]
    assert kinds(Wrench(5, 100), 15) == ["wrench-too-large"]  # marked from 5, usable from 20 N·m
    assert kinds(wrench, 100) == kinds(wrench, 20) == []
    assert kinds(Wrench(20, 200, 10), 44, 0.05) == ["wrench-too-coarse"]  # 40 and 50: 9 % off
    assert kinds(Wrench(20, 200, 10), 44, 0.20) == []


def test_severities_and_words() -> None:
    found = judge_wrench(Wrench(20, 100, 1), 60, 0.10)
    assert not isinstance(found, Outside)
    assert found[0].severity is Severity.NOTE
    assert "2.5 to 1" in found[0].message
    found = judge_wrench(Wrench(40, 200), 310)
    assert not isinstance(found, Outside)
    assert found[0].message == "310 N·m is above a wrench of 40 N·m to 200 N·m"


@pytest.mark.parametrize("wrench", [Wrench(0, 0), Wrench(100, 20), Wrench(50, 50), Wrench(-5, 50), Wrench(1, math.inf), Wrench(1, 50, error=0), Wrench(1, 50, -1)])  # fmt: skip
def test_what_is_no_wrench(wrench: Wrench) -> None:
    for found in (judge_wrench(wrench, 60), usable_low(wrench), wrench_error(wrench)):
        assert isinstance(found, Outside)
        assert found.message


# ---- passes


@pytest.mark.parametrize(
    ("target", "percents", "step", "found"),
    [
        (60, (30, 70, 100), 1, (18, 42, 60)),
        (310, (30, 60, 100), 5, (95, 185, 310)),
        (75, (30, 70, 100), 1, (23, 53, 75)),  # 22.5 and 52.5: a half goes up
        (25, (50, 100), Fraction(1, 2), (Fraction(25, 2), 25)),
        (83.6, (30, 100), 1, (25, Fraction("83.6"))),  # the target is not rounded
    ],
)
def test_passes_on_the_scale(target: float, percents: tuple[float, ...], step: float, found: tuple[float, ...]) -> None:
    assert settings(target, percents, step) == found


@given(
    st.integers(10, 2000),
    st.lists(st.integers(1, 99), min_size=0, max_size=4, unique=True).map(sorted),
    st.sampled_from([Fraction(1, 10), Fraction(1, 2), Fraction(1), Fraction(5)]),
)
def test_passes_rise_or_are_refused(target: int, percents: list[int], step: Fraction) -> None:
    found = settings(target, (*percents, 100), step)
    if isinstance(found, Outside):
        assert "no longer rise" in found.message
        return
    assert list(found) == sorted(set(found)) and found[-1] == target
    for share, setting in zip(percents, found, strict=False):
        assert setting % step == 0
        assert abs(setting - Fraction(target * share, 100)) <= step / 2


def test_passes_refused() -> None:
    for percents in ((), (50,), (50, 40, 100), (50, 50, 100), (0, 100), (-1, 100), (50, 110)):
        assert isinstance(rising(percents), Outside), percents
        assert isinstance(settings(60, percents, 1), Outside), percents
    assert isinstance(settings(10, (30, 33, 100), 5), Outside)  # both round to 5
    assert isinstance(settings(math.nan, (100,), 1), Outside)
    assert isinstance(settings(60, (100,), 0), Outside)
    assert rising((30, 70, 100)) is None


# Common practice, no source: a scale marked in 1, 2, 5 within 2 % of the torque
@pytest.mark.parametrize(("torque", "step"), [(60, 1), (310, 5), (25, 0.5), (93, 1), (100, 2), (5, 0.1), (1000, 20)])
def test_usual_graduation(torque: float, step: float) -> None:
    assert value(graduation(torque)) == pytest.approx(step)
    assert isinstance(graduation(0), Outside)
