"""Flow through a bore and vent times: API 520's example, fluids, scipy's integrators, closed forms, worked problems."""

from __future__ import annotations

from math import inf, log, nan, pi, sqrt
from typing import Any

import fluids
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp

from procforge.engineering.base import Outside, Result
from procforge.engineering.gas import find_gas
from procforge.engineering.gas_data import Gas, R
from procforge.engineering.orifice import choked_constant, critical_pressure_ratio, mass_flow, relief_area
from procforge.engineering.venting import NEVER_A_PROOF, end_temperature, force_on_cover, vent, vent_time

API: dict[str, float] = {"k": 1.11, "molar_mass": 0.051, "temperature": 348, "z": 0.9}
AIR: dict[str, float] = {"k": 1.4, "molar_mass": 0.0289655, "temperature": 300}


def value(result: Result | Outside) -> float:
    assert isinstance(result, Result), result
    return result.value


def gas(name: str) -> Gas:
    found = find_gas(name)
    assert isinstance(found, Gas)
    return found


# ---- through the bore


def test_critical_ratio_and_choked_constant() -> None:
    """0.528 and 0.685 for k = 1.4 in every table of compressible flow."""
    assert value(critical_pressure_ratio(1.4)) == pytest.approx(0.5283, abs=5e-5)
    assert choked_constant(1.4) == pytest.approx(0.6847, abs=5e-5)


@pytest.mark.parametrize("k", [1.1, 1.2, 1.3, 1.4, 5 / 3])
def test_critical_ratio_against_fluids(k: float) -> None:
    assert value(critical_pressure_ratio(k)) == pytest.approx(fluids.P_critical_flow(1.0, k), rel=1e-12)


def test_api_520_sizing_example() -> None:
    """API 520 part I, gas example as coded in fluids: 24270 kg/h, 3699 mm²; at 532 kPa back pressure 4248 mm².

    The second uses API's constant 17.9, rounded; the exact one gives 0.07 % more.
    """
    assert value(relief_area(24270 / 3600, 670e3, 101325, **API)) == pytest.approx(3699e-6, rel=2e-4)
    assert value(relief_area(24270 / 3600, 670e3, 532e3, **API)) == pytest.approx(4248e-6, rel=1e-3)


@pytest.mark.parametrize(
    ("flow", "kelvin", "z", "grams", "k", "pascal"),
    [
        (24270, 348, 0.9, 51, 1.11, 670e3),
        (1000, 300, 1.0, 28.96, 1.4, 1e6),
        (5000, 320, 0.87, 16.04, 1.31, 50e5),
        (200, 290, 1.0, 2.016, 1.41, 20e5),
        (3000, 330, 0.95, 44.01, 1.29, 12e5),
    ],
)
def test_relief_area_against_fluids(
    flow: float, kelvin: float, z: float, grams: float, k: float, pascal: float
) -> None:
    peer = fluids.API520_A_g(m=flow / 3600, T=kelvin, Z=z, MW=grams, k=k, P1=pascal, Kd=0.975)
    ours = relief_area(flow / 3600, pascal, 101325, k=k, molar_mass=grams / 1000, temperature=kelvin, z=z)
    assert value(ours) == pytest.approx(peer, rel=2e-4)


def test_flow_turns_subcritical_without_a_step() -> None:
    edge = value(critical_pressure_ratio(1.4))
    below, above = (value(mass_flow(1e6, 1e6 * r, 1e-4, **AIR)) for r in (edge - 1e-7, edge + 1e-7))
    assert above == pytest.approx(below, rel=1e-9)
    flows = [value(mass_flow(1e6, 1e6 * r, 1e-4, **AIR)) for r in (0.2, 0.6, 0.8, 0.95, 1.0)]
    assert flows == sorted(flows, reverse=True) and flows[-1] == 0
    # Near equal pressures it becomes incompressible: w = Cd A sqrt(2 density Δp).
    rho = 1e6 * 0.0289655 / (R * 300)
    assert value(mass_flow(1e6, 0.999e6, 1e-4, **AIR)) == pytest.approx(0.61e-4 * sqrt(2 * rho * 1e3), rel=1e-3)


@pytest.mark.parametrize(
    ("arguments", "changes", "reason"),
    [
        ((-1e5, 0, 1e-4), {}, "upstream pressure"),
        ((1e5, 2e5, 1e-4), {}, "downstream pressure"),
        ((2e5, 1e5, 0), {}, "area"),
        ((2e5, 1e5, 1e-4), {"k": 0.9}, "k is"),
        ((2e5, 1e5, 1e-4), {"molar_mass": 28.96}, "molar mass"),
        ((2e5, 1e5, 1e-4), {"temperature": 0}, "temperature"),
        ((2e5, 1e5, 1e-4), {"z": 9}, "Z is"),
        ((2e5, 1e5, 1e-4), {"coefficient": 1.2}, "discharge"),
        ((2e5, nan, 1e-4), {}, "finite"),
    ],
)
def test_faulty_flow(arguments: tuple[float, ...], changes: dict[str, float], reason: str) -> None:
    found = mass_flow(*arguments, **{**AIR, **changes})
    assert isinstance(found, Outside) and reason in found.message


# ---- vent times

CASE_AIR: dict[str, Any] = {
    **{"volume": 2, "start": 10e5, "end": 1.1e5, "bore": 0.005, "back": 101325, "coefficient": 0.65},
    **AIR,
}
CASE_METHANE: dict[str, Any] = {
    **{"volume": 2, "start": 51e5, "end": 1.05e5, "bore": 0.006, "back": 101325, "coefficient": 0.85},
    **{"k": 1.31, "molar_mass": 0.016043, "temperature": 313.15},
}


@pytest.mark.parametrize(
    ("case", "adiabatic", "isothermal"), [(CASE_AIR, 1509.5, 1787.7), (CASE_METHANE, 1209.2, 1238.6)]
)
def test_stated_vent_times(case: dict[str, Any], adiabatic: float, isothermal: float) -> None:
    """Computed by two independent methods that agreed, to the digits given."""
    assert value(vent_time(**case, adiabatic=True)) == pytest.approx(adiabatic, abs=0.1)
    assert value(vent_time(**case)) == pytest.approx(isothermal, abs=0.1)


def test_worked_problem_in_feet() -> None:
    """10 ft³ of air, 100 → 1.893 atm through 0.1 ft², 300 K: ends at 96.6 K after 0.578 s (a textbook's problem)."""
    bore = sqrt(0.1 * 0.3048**2 * 4 / pi)
    arguments = (10 * 0.3048**3, 100 * 101325, 1.893 * 101325, bore)
    assert value(vent_time(*arguments, **AIR, coefficient=1, adiabatic=True)) == pytest.approx(0.578, abs=5e-4)
    assert value(end_temperature(100 * 101325, 1.893 * 101325, 1.4, 300)) == pytest.approx(96.6, abs=0.05)


@pytest.mark.parametrize("adiabatic", [False, True])
@pytest.mark.parametrize("case", [CASE_AIR, CASE_METHANE], ids=["air", "methane"])
def test_vent_time_against_an_integrator(case: dict[str, Any], adiabatic: bool) -> None:
    """The mass balance dm/dt = −w as a differential equation, solved by scipy to the end pressure."""
    rs = R / case["molar_mass"]
    k, t0, area = case["k"], case["temperature"], pi / 4 * case["bore"] ** 2
    mass = case["start"] * case["volume"] / (rs * t0)

    def pressure(share: float) -> float:
        return float(case["start"] * share ** (k if adiabatic else 1))

    def change(_: float, y: Any) -> list[float]:
        p = pressure(y[0])
        t = p * case["volume"] / (y[0] * mass * rs)
        flow = fluid_flow(p, case["back"], t, area * case["coefficient"], k, rs)
        return [-flow / mass]

    def done(_: float, y: Any) -> float:
        return pressure(y[0]) - case["end"]

    done.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(change, (0, 5000), [1.0], events=done, rtol=1e-9, atol=1e-12)
    assert value(vent_time(**case, adiabatic=adiabatic)) == pytest.approx(solved.t_events[0][0], rel=1e-5)


def fluid_flow(p: float, back: float, t: float, area: float, k: float, rs: float) -> float:
    """From the Mach number at the throat, another way than the product's: w = p M sqrt(k/(Rs T)) (1 + …)^…"""
    ratio = max(back / p, fluids.P_critical_flow(1.0, k))
    mach = sqrt(2 / (k - 1) * (ratio ** (-(k - 1) / k) - 1))
    return float(area * p * mach * sqrt(k / (rs * t)) * (1 + (k - 1) / 2 * mach**2) ** (-(k + 1) / (2 * (k - 1))))


def test_choked_part_against_the_closed_forms() -> None:
    """Choked all the way: V ln(p0/p1) / (Cd A C sqrt(R T/M)), and its adiabatic sister."""
    case = {**CASE_AIR, "end": 3e5, "back": 1e5}
    scale = 2 / (0.65 * pi / 4 * 0.005**2 * choked_constant(1.4) * sqrt(R * 300 / 0.0289655))
    assert value(vent_time(**case)) == pytest.approx(scale * log(10 / 3), rel=1e-9)
    closed = scale * 2 / (1.4 - 1) * ((10 / 3) ** (0.4 / (2 * 1.4)) - 1)
    assert value(vent_time(**case, adiabatic=True)) == pytest.approx(closed, rel=1e-9)


def test_vent_time_goes_as_volume_over_bore_squared() -> None:
    once = value(vent_time(**CASE_AIR))
    assert value(vent_time(**{**CASE_AIR, "volume": 4})) == pytest.approx(2 * once)
    assert value(vent_time(**{**CASE_AIR, "bore": 0.010})) == pytest.approx(once / 4)
    # Mass shut in goes as 1/Z, flow as 1/sqrt(Z).
    assert value(vent_time(**CASE_AIR, z=0.81)) == pytest.approx(once / 0.9)


def test_every_vent_time_says_that_it_proves_nothing() -> None:
    for found in (vent_time(**CASE_AIR), vent_time(**CASE_AIR, adiabatic=True)):
        assert isinstance(found, Result) and NEVER_A_PROOF in found.limits
        assert found.source and found.formula and len(found.inputs) >= 9


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"volume": -2}, "volume"),
        ({"bore": 0}, "bore"),
        ({"start": -1}, "start pressure"),
        ({"end": 11e5}, "end pressure"),
        ({"end": 1.0e5}, "not above the back pressure"),
        ({"end": 101325}, "not above the back pressure"),
        ({"back": 0}, "back pressure"),
        ({"temperature": inf}, "finite"),
        ({"k": 1.0}, "k is"),
    ],
)
def test_faulty_vents(change: dict[str, float], reason: str) -> None:
    found = vent_time(**{**CASE_AIR, **change})
    assert isinstance(found, Outside) and reason in found.message


def test_vent_of_a_known_gas() -> None:
    air = vent(gas("air"), 0.014, 12e5, 1.05e5, 0.006, temperature=310)
    assert value(air.adiabatic) < value(air.isothermal)
    # The isentrope of real air by CoolProp ends within 2 K.
    entropy = PropsSI("S", "T", 310, "P", 12e5, "Air")
    assert value(air.end_temperature) == pytest.approx(PropsSI("T", "S", entropy, "P", 1.05e5, "Air"), abs=2)
    # Without heat from the walls 12 bar(a) of biogas would end at 176 K, where its carbon dioxide freezes out.
    biogas = vent(gas("biogas"), 0.014, 12e5, 1.05e5, 0.006, temperature=310)
    assert isinstance(biogas.isothermal, Result) and isinstance(biogas.adiabatic, Outside)


def test_no_vent_time_where_liquid_may_be() -> None:
    found = vent(gas("propane"), 1, 10e5, 1.1e5, 0.006, temperature=300)
    for each in (found.isothermal, found.adiabatic, found.end_temperature):
        assert isinstance(each, Outside) and "liquid" in each.message
    # Carbon dioxide from 50 bar(a) at 300 K crosses its saturation line on the way: no adiabatic time.
    cold = vent(gas("co2"), 1, 50e5, 1.1e5, 0.006, temperature=300)
    assert isinstance(cold.isothermal, Result)
    assert isinstance(cold.adiabatic, Outside) and "on the way down" in cold.adiabatic.message


def test_force_left_on_a_cover() -> None:
    """0.5 bar on a 400 mm cover is 6283 N (definition of pressure)."""
    assert value(force_on_cover(0.5e5, 0.4)) == pytest.approx(6283, abs=0.5)
    assert value(force_on_cover(0, 0.4)) == 0
    for arguments in ((-1, 0.4), (1e5, 0), (nan, 1)):
        assert isinstance(force_on_cover(*arguments), Outside)


def test_no_gas_is_left_near_absolute_zero() -> None:
    for kelvin in (1e-20, 0.5, 2, 20):
        found = vent(gas("propane"), 1, 10e5, 1.1e5, 0.006, temperature=kelvin)
        assert isinstance(found.isothermal, Outside), kelvin
