"""Pressure decay and seat leakage: 40 CFR 1065.644, CoolProp, the tables of ISO 5208 and FCI 70-2."""

from __future__ import annotations

from math import nan

import pytest
from CoolProp.CoolProp import PropsSI

from procforge.engineering.base import Outside, Result
from procforge.engineering.leaks import (
    allowed_drop,
    allowed_pressure,
    allowed_rate,
    leak_rate,
    molar_rate,
    needed_time,
    temperature_effect,
    throughput,
)
from procforge.engineering.seats import FCI_SHARES, ISO_RATES, fci_class_v, fci_class_vi, fci_share, iso_5208_rate

INCH, PSI = 0.0254, 6894.757293168361  # by definition


def value(result: Result | Outside) -> float:
    assert isinstance(result, Result), result
    return result.value


def test_vacuum_decay_of_40_cfr_1065_644() -> None:
    """The rule's own example, 2 L, 25.3 to 50.6 kPa in 70 s at 293.15 K: 2.966e-4 mol/s, inward here."""
    assert value(leak_rate(0.002, 25.3e3, 293.15, 50.6e3, 293.15, 70)) == pytest.approx(-2.966e-4, abs=5e-8)


def test_leak_rate_against_coolprop() -> None:
    """Nitrogen, 0.5 m³, 6.000 bar(a) at 300 K to 5.950 at 299 K in an hour: moles from two real densities."""
    moles = [PropsSI("DMOLAR", "T", t, "P", p, "Nitrogen") for p, t in ((6e5, 300), (5.95e5, 299))]
    expected = 0.5 * (moles[0] - moles[1]) / 3600
    assert value(leak_rate(0.5, 6e5, 300, 5.95e5, 299, 3600)) == pytest.approx(expected, rel=0.01)


def test_cooling_alone_is_no_leak() -> None:
    cooled = 6e5 * 290 / 300
    assert value(leak_rate(0.5, 6e5, 300, cooled, 290, 600)) == pytest.approx(0, abs=1e-12)
    assert value(temperature_effect(6e5, 300, -10)) == pytest.approx(cooled - 6e5)
    assert value(allowed_pressure(0.5, 6e5, 300, 290, 0, 600)) == pytest.approx(cooled)


def test_allowed_rate_and_drop_are_each_others_back() -> None:
    drop = value(allowed_drop(0.02, 1e-5, 900, 295))
    assert value(allowed_rate(0.02, drop, 900, 295)) == pytest.approx(1e-5)
    end = value(allowed_pressure(0.02, 9e5, 295, 295, 1e-5, 900))
    assert end == pytest.approx(9e5 - drop)
    assert value(leak_rate(0.02, 9e5, 295, end, 295, 900)) == pytest.approx(1e-5)


def test_throughput() -> None:
    """1 Pa·m³/s is 4.41e-4 mol/s at 0 °C (1 / (R T)); 1 mbar·L/s is 0.1 Pa·m³/s by definition."""
    assert value(molar_rate(1, 273.15)) == pytest.approx(4.403e-4, abs=1e-7)
    assert value(throughput(value(molar_rate(0.1)))) == pytest.approx(0.1)


def test_time_the_gauge_needs() -> None:
    """0.1 mbar·L/s out of 100 L with a gauge that shows 1 mbar: 1 mbar takes 1000 s, four of them 4000 s (by hand)."""
    rate = value(molar_rate(0.01, 293.15))
    assert value(needed_time(0.1, rate, 100, 293.15)) == pytest.approx(4000)
    seconds = value(needed_time(0.1, rate, 100, 293.15, ratio=10))
    assert value(allowed_drop(0.1, rate, seconds, 293.15)) == pytest.approx(1000)


@pytest.mark.parametrize(
    "found",
    [
        leak_rate(-1, 6e5, 300, 5e5, 300, 60),
        leak_rate(1, 0, 300, 5e5, 300, 60),
        leak_rate(1, 6e5, 20, 5e5, 300, 60),
        leak_rate(1, 6e5, 300, 5e5, nan, 60),
        leak_rate(1, 6e5, 300, 5e5, 300, 0),
        allowed_drop(1, -1, 60, 300),
        allowed_rate(1, -1, 60, 300),
        allowed_pressure(0.001, 2e5, 300, 300, 1, 60),
        needed_time(1, 0, 100, 300),
        needed_time(1, 1, 0, 300),
        needed_time(1, 1, 100, 300, ratio=0.5),
        temperature_effect(6e5, 300, -300),
        throughput(nan),
    ],
)
def test_faulty_leak_tests(found: Result | Outside) -> None:
    assert isinstance(found, Outside) and found.message


# ---- seats


@pytest.mark.parametrize(("rate", "factor"), [("B", 0.01), ("C", 0.03), ("D", 0.1), ("E", 0.3), ("F", 1), ("G", 2)])
def test_iso_5208_liquid(rate: str, factor: float) -> None:
    """mm³/s for each millimetre of DN (ISO 5208:2015, as quoted)."""
    assert value(iso_5208_rate(rate, 100, gas=False)) == pytest.approx(factor * 100e-9)


@pytest.mark.parametrize(("rate", "factor"), [("AA", 0.18), ("B", 0.3), ("CC", 22.3), ("EE", 470), ("G", 6000)])
def test_iso_5208_gas(rate: str, factor: float) -> None:
    """mm³/s for each millimetre of DN (ISO 5208:2015, as quoted)."""
    assert value(iso_5208_rate(rate.lower(), 50, gas=True)) == pytest.approx(factor * 50e-9)


def test_iso_5208_as_a_whole() -> None:
    tight = iso_5208_rate("A", 80, gas=True)
    assert value(tight) == 0 and isinstance(tight, Result) and "no visible leakage" in tight.limits[0]
    for column in (0, 1):
        rising = [row[column] for row in ISO_RATES.values()]
        assert rising == sorted(set(rising))
    assert isinstance(iso_5208_rate("H", 80, gas=True), Outside)
    assert isinstance(iso_5208_rate("B", 0, gas=True), Outside)


@pytest.mark.parametrize(
    ("inches", "millilitres"), [(1, 0.15), (1.5, 0.30), (2, 0.45), (3, 0.90), (4, 1.70), (6, 4.00), (8, 6.75)]
)
def test_fci_class_vi(inches: float, millilitres: float) -> None:
    """Millilitres of gas a minute by seat diameter (FCI 70-2, as quoted)."""
    assert value(fci_class_vi(inches * INCH)) * 60e6 == pytest.approx(millilitres)


def test_fci_class_vi_between_and_beyond_the_rows() -> None:
    assert value(fci_class_vi(0.090)) * 60e6 == pytest.approx(0.90)  # the next smaller row, the tighter
    assert value(fci_class_vi(0.010)) * 60e6 == pytest.approx(0.15)
    assert isinstance(fci_class_vi(0.5), Outside) and isinstance(fci_class_vi(0), Outside)


def test_fci_class_v_in_both_its_units() -> None:
    """5e-4 mL of water a minute per inch and psi, or 5e-12 m³/s per mm and bar: the standard rounds one to the other."""
    inch_form = 5e-4 * 1e-6 / 60 * 2 * 100
    assert value(fci_class_v(2 * INCH, 100 * PSI)) == pytest.approx(inch_form, rel=0.06)
    assert value(fci_class_v(0.001, 1e5)) == pytest.approx(5e-12)
    assert isinstance(fci_class_v(0, 1e5), Outside)


def test_fci_shares() -> None:
    """0.5 %, 0.1 % and 0.01 % of rated capacity (FCI 70-2, as quoted)."""
    assert [value(fci_share(c, 1.0)) for c in ("II", "iii", "IV")] == pytest.approx([0.005, 0.001, 0.0001])
    assert list(FCI_SHARES) == ["II", "III", "IV"]
    assert isinstance(fci_share("VI", 1.0), Outside) and isinstance(fci_share("IV", -1), Outside)
