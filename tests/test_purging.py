"""Purge cycles and sweeps: worked examples of Branan and of Crowl and Louvar, and step-by-step dilution."""

from __future__ import annotations

from math import exp, nan

import pytest
from CoolProp.CoolProp import PropsSI

from procforge.engineering.base import Outside
from procforge.engineering.purging import Purge, normal_volume, pressure_purge, sweep_purge, vacuum_purge

ATM = 101325.0
PSI = 6894.757293168361  # Pa, by definition
GALLON = 231 * 0.0254**3  # m³, by definition
POUND = 0.45359237  # kg, by definition
MMHG = 133.322387415  # Pa, by definition


def good(found: Purge | Outside) -> Purge:
    assert isinstance(found, Purge), found
    return found


def exact(purge: Purge) -> float:
    """Cycles before rounding up, which the result carries as an input."""
    return next(i.value for i in purge.amount.inputs if i.name == "cycles before rounding up")


def test_pressure_purge_of_branan() -> None:
    """Branan, Rules of Thumb: 21 % oxygen to 1 % at 5 atm takes 2 cycles, which leaves 0.84 %."""
    purge = good(pressure_purge(0.21, 0.01, ATM, 5 * ATM, 1.0))
    assert purge.amount.value == 2
    assert purge.left.value == pytest.approx(0.0084)


def test_vacuum_purge_of_branan() -> None:
    """Branan: 21 % to 1 % with a vacuum of 0.5 atm: 4.4, so 5 cycles."""
    purge = good(vacuum_purge(0.21, 0.01, 0.5 * ATM, 1.0))
    assert exact(purge) == pytest.approx(4.4, abs=0.05)
    assert purge.amount.value == 5
    assert purge.left.value == pytest.approx(0.21 / 32)


def test_dilution_of_branan() -> None:
    """21 % to 1 % by dilution: 3.04 volumes."""
    purge = good(sweep_purge(0.21, 0.01, 1.0))
    assert purge.amount.value == pytest.approx(3.04, abs=0.005)
    assert purge.left.value == 0.01


def test_vacuum_purge_of_crowl_and_louvar() -> None:
    """1000 gal to 1 ppm of oxygen with a vacuum of 20 mmHg: 3.37, so 4 cycles (from memory, recomputed)."""
    purge = good(vacuum_purge(0.21, 1e-6, 20 * MMHG, 1000 * GALLON))
    assert exact(purge) == pytest.approx(3.37, abs=0.005)
    assert purge.amount.value == 4


def test_pressure_purge_of_crowl_and_louvar() -> None:
    """The same with 80 psig at 75 °F: 6.58, so 7 cycles and 365 lb of nitrogen (from memory, recomputed).

    The book takes 14.7 psi for the atmosphere.
    """
    kelvin = (75 - 32) / 1.8 + 273.15
    purge = good(pressure_purge(0.21, 1e-6, 14.7 * PSI, 94.7 * PSI, 1000 * GALLON, temperature=kelvin))
    assert exact(purge) == pytest.approx(6.58, abs=0.005)
    assert purge.amount.value == 7
    assert purge.nitrogen.value / POUND == pytest.approx(365, abs=1)


@pytest.mark.parametrize(("low", "high", "supply"), [(1e5, 4e5, 0.0), (0.2e5, 1e5, 0.0), (1e5, 6e5, 0.002)])
def test_cycles_against_mixing_step_by_step(low: float, high: float, supply: float) -> None:
    """Moles counted cycle by cycle: fill with purge gas, let down, until the limit is met."""
    limit, fraction, cycles = 0.01, 0.21, 0
    while fraction > limit:
        fraction = (fraction * low + supply * (high - low)) / high
        cycles += 1
    purge = good(pressure_purge(0.21, limit, low, high, 1.0, supply=supply))
    assert purge.amount.value == cycles
    assert purge.left.value == pytest.approx(fraction)


def test_sweep_against_mixing_step_by_step() -> None:
    """A stirred space, ten thousand small shares of purge gas let in and out."""
    purge = good(sweep_purge(0.21, 0.01, 2.0, supply=0.001))
    fraction, share = 0.21, purge.amount.value / 10000
    for _ in range(10000):
        fraction += share * (0.001 - fraction)
    assert fraction == pytest.approx(0.01, rel=1e-3)
    assert good(sweep_purge(0.21, 0.01, 2.0, supply=0.001, mixing=0.25)).amount.value == pytest.approx(
        4 * purge.amount.value
    )
    assert 0.21 * exp(-good(sweep_purge(0.21, 0.05, 1)).amount.value) == pytest.approx(0.05)


def test_nitrogen_against_coolprop() -> None:
    """One cycle from 1 to 5 bar(a) in 1 m³ at 293.15 K: the difference of two densities."""
    purge = good(pressure_purge(0.21, 0.05, 1e5, 5e5, 1.0))
    densities = [PropsSI("D", "T", 293.15, "P", p, "Nitrogen") for p in (1e5, 5e5)]
    assert purge.amount.value == 1
    assert purge.nitrogen.value == pytest.approx(densities[1] - densities[0], rel=2e-3)
    normal = normal_volume(1.2504)  # density of nitrogen at 0 °C and 1 atm, kg/m³ (handbooks, from memory)
    assert not isinstance(normal, Outside) and normal.value == pytest.approx(1.0, rel=1e-3)


def test_a_whole_count_is_not_raised() -> None:
    """0.16 to 0.01 in steps of a half is four; 0.21 to 0.21 is none."""
    assert good(pressure_purge(0.16, 0.01, 1e5, 2e5, 1)).amount.value == 4
    for count in (3, 5, 6):  # their logarithms come out a last digit above the whole number
        assert good(pressure_purge(0.2, 0.2 * (1e5 / 6e5) ** count, 1e5, 6e5, 1)).amount.value == count
    none = good(pressure_purge(0.21, 0.21, 1e5, 2e5, 1))
    assert none.amount.value == 0 and none.left.value == 0.21 and none.nitrogen.value == 0
    below = good(sweep_purge(0.01, 0.05, 1))
    assert below.amount.value == 0 and below.left.value == 0.01


def test_limits_name_dead_legs_and_measurement() -> None:
    for purge in (pressure_purge(0.2, 0.01, 1e5, 5e5, 1), vacuum_purge(0.2, 0.01, 1e4, 1), sweep_purge(0.2, 0.01, 1)):
        text = " ".join(good(purge).amount.limits)
        assert "dead legs" in text and "never a proof" in text


@pytest.mark.parametrize(
    ("arguments", "options", "reason"),
    [
        ((0.21, 0.01, 1e5, 5e5, -1), {}, "volume"),
        ((0.21, 0.01, -1, 5e5, 1), {}, "low pressure"),
        ((0.21, 0.01, 5e5, 5e5, 1), {}, "high pressure"),
        ((0.21, 0.01, 5e5, 1e5, 1), {}, "high pressure"),
        ((0, 0.01, 1e5, 5e5, 1), {}, "at the start"),
        ((0.21, 0, 1e5, 5e5, 1), {}, "to reach"),
        ((21, 1, 1e5, 5e5, 1), {}, "at the start"),
        ((0.21, 0.01, 1e5, 5e5, 1), {"supply": 0.02}, "purge gas itself"),
        ((0.21, 0.01, 1e5, 5e5, 1), {"temperature": 20}, "temperature"),
        ((0.21, 0.01, nan, 5e5, 1), {}, "finite"),
        ((0.21, 0.01, 1e5, 1.0001e5, 1), {}, "too near"),
    ],
)
def test_faulty_purges(arguments: tuple[float, ...], options: dict[str, float], reason: str) -> None:
    found = pressure_purge(*arguments, **options)
    assert isinstance(found, Outside) and reason in found.message + found.hint


def test_faulty_sweeps() -> None:
    assert isinstance(sweep_purge(0.21, 0.01, 0), Outside)
    assert isinstance(sweep_purge(0.21, 0.01, 1, mixing=0), Outside)
    assert isinstance(sweep_purge(0.21, 0.01, 1, pressure=0), Outside)
    assert isinstance(normal_volume(-1), Outside)
