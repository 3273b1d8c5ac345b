"""Gas data, compressibility, saturation and stored energy against reference libraries and handbook values.

Sources: CoolProp (reference equations of state), chemicals (IEC 60079-20-1:2010 and NFPA 497:2008, vapour pressure
correlations), fluids; others beside the check.
"""

from __future__ import annotations

from math import inf, nan

import chemicals
import pytest
from CoolProp.CoolProp import PhaseSI, PropsSI

from procforge.engineering.base import Outside, Result
from procforge.engineering.energy import brode_energy, isentropic_energy
from procforge.engineering.flammability import lower_explosive_limit
from procforge.engineering.gas import (
    compressibility,
    density,
    find_gas,
    may_be_liquid,
    mixture,
    saturation_pressure,
    trapped_mass,
)
from procforge.engineering.gas_data import ALSO, FREEZING, GASES, MIXTURES, Gas
from procforge.engineering.gauges import gauge_error, gauge_ratio

NAMES = {  # ours: CoolProp's
    **{name: name.title().replace(" ", "") for name in GASES},
    **{"n-butane": "n-Butane", "isobutane": "IsoButane", "carbon dioxide": "CarbonDioxide"},
    **{"hydrogen sulfide": "HydrogenSulfide", "sulfur dioxide": "SulfurDioxide"},
}


def value(result: Result | Outside) -> float:
    assert isinstance(result, Result), result
    return result.value


def gas(name: str) -> Gas:
    found = find_gas(name)
    assert isinstance(found, Gas), found
    return found


# ---- the table


@pytest.mark.parametrize("name", GASES)
def test_constants_are_those_of_the_reference_equation(name: str) -> None:
    g, fluid = GASES[name], NAMES[name]
    assert g.molar_mass == pytest.approx(PropsSI("M", fluid), rel=2e-5)
    assert g.critical_temperature == pytest.approx(PropsSI("Tcrit", fluid), rel=2e-5)
    assert g.critical_pressure == pytest.approx(PropsSI("pcrit", fluid), rel=5e-5)
    assert g.acentric == pytest.approx(PropsSI("acentric", fluid), abs=1e-4)
    state = ("T", 288.15, "P", 101325, fluid)
    capacity = PropsSI("CP0MOLAR", *state)
    assert g.k == pytest.approx(capacity / (capacity - PropsSI("GAS_CONSTANT", fluid)), abs=2e-4)


#: As stated in the check values: vol %, IEC / NFPA.
STATED_LEL = {
    **{"methane": (4.4, 5.0), "ethane": (2.4, 3.0), "propane": (1.7, 2.1), "n-butane": (1.4, 1.9)},
    **{"hydrogen": (4, 4), "ammonia": (15, 15), "hydrogen sulfide": (4, 4), "carbon monoxide": (10.9, 12.5)},
}


@pytest.mark.parametrize("name", [name for name, g in GASES.items() if g.lel])
def test_lower_explosive_limits_of_both_editions(name: str) -> None:
    cas = chemicals.CAS_from_any(name)
    editions = [chemicals.LFL(CASRN=cas, method=m) for m in ("IEC 60079-20-1 (2010)", "NFPA 497 (2008)")]
    assert GASES[name].lel == pytest.approx(tuple(editions))
    found = lower_explosive_limit(GASES[name])
    assert value(found) == min(editions)
    assert isinstance(found, Result) and [i.value for i in found.inputs] == pytest.approx(editions)
    if name in STATED_LEL:
        assert editions == pytest.approx([v / 100 for v in STATED_LEL[name]])


def test_what_does_not_burn_has_no_limit() -> None:
    for name in ("nitrogen", "air", "carbon dioxide", "argon"):
        assert isinstance(lower_explosive_limit(gas(name)), Outside)
    lean = mixture({"methane": 0.04, "nitrogen": 0.96})  # 4.4 % / 0.04 is more than all of it
    assert isinstance(lean, Gas) and isinstance(lower_explosive_limit(lean), Outside)


def test_le_chatelier_by_hand() -> None:
    # 60 % methane in biogas: 4.4 % / 0.6 by IEC, 5.0 % / 0.6 by NFPA.
    assert gas("biogas").lel == pytest.approx((0.044 / 0.6, 0.050 / 0.6))
    # Half methane, half propane by IEC: 1 / (0.5/4.4 + 0.5/1.7) = 2.452 %.
    both = mixture({"methane": 0.5, "propane": 0.5})
    assert isinstance(both, Gas) and both.lel is not None
    assert both.lel[0] == pytest.approx(0.02452, abs=1e-5)


def test_names_and_formulas() -> None:
    assert all(target in GASES for target in ALSO.values())
    assert gas("CH4") is GASES["methane"] and gas("  Carbon_Dioxide ") is GASES["carbon dioxide"]
    assert all(sum(parts.values()) == pytest.approx(1) for parts in MIXTURES.values())
    unknown = find_gas("phlogiston")
    assert isinstance(unknown, Outside) and "phlogiston" in unknown.message and "methane" in unknown.hint


@pytest.mark.parametrize(
    ("fractions", "reason"),
    [
        ({"methane": 0.6, "co2": 0.3}, "add up to 0.9"),
        ({}, "add up to 0"),
        ({"methane": 1.2, "co2": -0.2}, "methane is 1.2"),
        ({"methane": nan}, "not a finite number"),
        ({"biogas": 1.0}, "itself a mixture"),
        ({"unobtainium": 1.0}, "unobtainium"),
    ],
)
def test_faulty_mixtures(fractions: dict[str, float], reason: str) -> None:
    found = mixture(fractions)
    assert isinstance(found, Outside) and reason in found.message


# ---- compressibility and density


@pytest.mark.parametrize(("name", "z"), [("methane", 0.8556), ("nitrogen", 1.0052), ("hydrogen", 1.0598)])
def test_compressibility_at_100_bar_and_300_k(name: str, z: float) -> None:
    """CoolProp's values; ours is a correlation, within 1 %."""
    assert PropsSI("Z", "T", 300, "P", 100e5, NAMES[name]) == pytest.approx(z, abs=5e-5)
    assert value(compressibility(gas(name), 100e5, 300)) == pytest.approx(z, rel=0.01)


@pytest.mark.parametrize("name", GASES)
def test_compressibility_over_the_stated_range(name: str) -> None:
    """Within what the limits say wherever a number is given, and no number is given where CoolProp finds liquid."""
    g, given = GASES[name], 0
    for temperature in range(230, 451, 20):
        for bar in (1, 3, 10, 30, 60, 100, 150, 200, 300):
            phase = PhaseSI("T", temperature, "P", bar * 1e5, NAMES[name])
            found = compressibility(g, bar * 1e5, temperature)
            if isinstance(found, Outside):
                continue
            assert phase != "liquid", (temperature, bar)
            given += 1
            exact = PropsSI("Z", "T", temperature, "P", bar * 1e5, NAMES[name])
            far = temperature > 1.3 * g.critical_temperature and name != "helium"
            assert found.value == pytest.approx(exact, rel=0.02 if far else 0.05), (temperature, bar)
    assert given >= 15, "the range must not be empty"


@pytest.mark.parametrize(
    ("fractions", "tolerance"),
    [
        ({"methane": 0.6, "carbon dioxide": 0.4}, 0.035),
        ({"methane": 0.9, "ethane": 0.06, "propane": 0.02, "nitrogen": 0.02}, 0.015),
        ({"hydrogen": 0.5, "methane": 0.5}, 0.035),
    ],
)
def test_mixtures_against_coolprop(fractions: dict[str, float], tolerance: float) -> None:
    g = mixture(fractions)
    assert isinstance(g, Gas)
    fluid = "HEOS::" + "&".join(f"{NAMES[name]}[{x}]" for name, x in fractions.items())
    for temperature in (305, 330, 390):
        for bar in (5, 20, 60, 120):
            exact = PropsSI("Z", "T", temperature, "P", bar * 1e5, fluid)
            assert value(compressibility(g, bar * 1e5, temperature)) == pytest.approx(exact, rel=tolerance)
    assert g.molar_mass == pytest.approx(PropsSI("M", fluid), rel=1e-4)


def test_density_and_trapped_mass() -> None:
    # Air at 0 °C and 101.325 kPa: 1.2929 kg/m³ (handbooks; from memory), 1.2922 as dry air of this molar mass.
    assert value(density(gas("air"), 101325, 273.15)) == pytest.approx(1.2929, rel=1e-3)
    exact = PropsSI("D", "T", 313.15, "P", 51e5, "Methane")
    assert value(trapped_mass(gas("methane"), 2, 51e5, 313.15)) == pytest.approx(2 * exact, rel=0.005)


@pytest.mark.parametrize(
    ("volume", "pressure", "temperature", "reason"),
    [
        (-1, 1e5, 300, "volume"),
        (0, 1e5, 300, "volume"),
        (1, -1e5, 300, "absolute pressure"),
        (1, 0, 300, "absolute pressure"),
        (1, inf, 300, "not a finite number"),
        (1, 1e5, nan, "not a finite number"),
        (1, 1e5, 20, "temperature"),
        (1, 400e5, 300, "pressure"),
    ],
)
def test_faulty_states(volume: float, pressure: float, temperature: float, reason: str) -> None:
    found = trapped_mass(gas("air"), volume, pressure, temperature)
    assert isinstance(found, Outside) and reason in found.message


def test_a_gas_mixed_with_itself_is_itself() -> None:
    """What the mixing rules of Lee and Kesler must give back."""
    twice = mixture({"propane": 0.3, "C3H8": 0.7})
    assert isinstance(twice, Gas)
    for field in ("molar_mass", "k", "critical_temperature", "critical_pressure", "acentric", "lel"):
        assert getattr(twice, field) == pytest.approx(getattr(GASES["propane"], field)), field


# ---- where it may be liquid


@pytest.mark.parametrize("name", [n for n in GASES if n not in ("air", "helium", "hydrogen")])
def test_saturation_pressure(name: str) -> None:
    """Within 4 % of CoolProp from 0.73 of the critical temperature (Ambrose and Walton's correlation)."""
    g = GASES[name]
    for share in (0.73, 0.8, 0.9, 0.98):
        temperature = share * g.critical_temperature
        ours = saturation_pressure(g, temperature)
        assert ours == pytest.approx(PropsSI("P", "T", temperature, "Q", 1, NAMES[name]), rel=0.04)
        peer = chemicals.Ambrose_Walton(temperature, g.critical_temperature, g.critical_pressure, g.acentric)
        assert ours == pytest.approx(peer, rel=1e-9 if g.acentric > 0 else 0.01)  # the peer takes 0 for less than 0


def test_dry_ice() -> None:
    """Carbon dioxide sublimes at 194.7 K under 1 atm (handbooks, from memory)."""
    assert saturation_pressure(gas("co2"), 194.7) == pytest.approx(101325, rel=0.03)
    for name, (triple, fusion) in FREEZING.items():
        assert triple == pytest.approx(PropsSI("Ttriple", NAMES[name]), abs=0.01)
        if name != "sulfur dioxide":  # the library has only an estimate for it
            assert fusion == pytest.approx(chemicals.Hfus(chemicals.CAS_from_any(name), method="CRC"))


def test_propane_on_the_edge() -> None:
    """CoolProp: saturation at 300 K is 9.98 bar. 10 bar(a) is refused, and so is 9 bar(g), which is 10.01 bar(a)."""
    assert PropsSI("P", "T", 300, "Q", 1, "Propane") == pytest.approx(9.98e5, rel=1e-3)
    for pressure in (10e5, 9.98e5, 9e5 + 101325):
        found = trapped_mass(gas("propane"), 1, pressure, 300)
        assert isinstance(found, Outside) and "may be liquid" in found.message
    assert isinstance(trapped_mass(gas("propane"), 1, 8e5, 300), Result)


def test_dense_and_mixed_fluids() -> None:
    dense = may_be_liquid(gas("carbon dioxide"), 90e5, 310)
    assert dense and "critical" in dense.message
    assert may_be_liquid(gas("biogas"), 12e5, 300) is None
    heavy = mixture({"methane": 0.5, "n-butane": 0.5})
    assert isinstance(heavy, Gas) and may_be_liquid(heavy, 8e5, 280)
    # CoolProp agrees that this mixture is wet there: its dew point lies below 8 bar.
    assert PropsSI("P", "T", 280, "Q", 1, "HEOS::Methane[0.5]&n-Butane[0.5]") < 8e5


# ---- stored energy and the gauge


def test_stored_energy() -> None:
    """1 m³ of air at 100 bar(g): 18.47 MJ isentropic, 25.0 MJ by Brode (formulas; barometer 1.01325 bar)."""
    assert value(isentropic_energy(101.013e5, 1, 1.4, 1.01325e5)) == pytest.approx(18.47e6, abs=0.005e6)
    assert value(brode_energy(101.013e5, 1, 1.4, 1.01325e5)) == pytest.approx(25.0e6, abs=0.05e6)
    # ASME PCC-2 article 5.1 writes it for air as 2.5 P V (1 − (Pa/P)^0.286), exponent rounded (from memory).
    pcc2 = 2.5 * 101.013e5 * (1 - (1.01325 / 101.013) ** 0.286)
    assert value(isentropic_energy(101.013e5, 1, 1.4, 1.01325e5)) == pytest.approx(pcc2, rel=1e-3)
    # First law, real air: what the internal energy falls by on CoolProp's isentrope, for 10 bar where air is near ideal.
    s = PropsSI("S", "T", 300, "P", 10e5, "Air")
    rho = PropsSI("D", "T", 300, "P", 10e5, "Air")
    fall = PropsSI("U", "T", 300, "P", 10e5, "Air") - PropsSI("U", "S", s, "P", 101325, "Air")
    assert value(isentropic_energy(10e5, 1, 1.4)) == pytest.approx(rho * fall, rel=0.02)


@pytest.mark.parametrize("energy", [isentropic_energy, brode_energy])
def test_stored_energy_refuses(energy: object) -> None:
    assert callable(energy)
    for arguments in ((0.5e5, 1, 1.4), (-1, 1, 1.4), (10e5, -1, 1.4), (10e5, 1, 1.0), (10e5, 1, 1.4, 0), (nan, 1, 1.4)):
        assert isinstance(energy(*arguments), Outside), arguments
    assert energy(101325, 1, 1.4).value == 0


@pytest.mark.parametrize(
    ("low", "high", "accuracy_class", "ratio"), [(0, 100e5, 1.0, 0.1), (0, 10e5, 1.0, 1.0), (0, 1e5, 1.6, 6.25)]
)
def test_gauge_beside_a_limit_of_a_tenth_of_a_bar(low: float, high: float, accuracy_class: float, ratio: float) -> None:
    """Class times full scale (EN 837-1), against 0.1 bar."""
    assert value(gauge_ratio(0.1e5, accuracy_class, low, high)) == pytest.approx(ratio)


def test_gauge_refuses() -> None:
    assert isinstance(gauge_error(1.0, 0, 0), Outside)
    assert isinstance(gauge_error(0, 0, 1e5), Outside)
    assert isinstance(gauge_ratio(0, 1.0, 0, 1e5), Outside)
    assert isinstance(gauge_ratio(2e5, 1.0, 0, 1e5), Outside)
