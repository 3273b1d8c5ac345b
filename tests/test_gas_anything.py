"""Whatever numbers a user enters: a finite result with its papers, or a reason; never an exception."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from math import inf, isfinite, nan
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procforge.engineering import energy, gas, gauges, leaks, network, orifice, purging, seats, venting
from procforge.engineering.base import Outside, Result
from procforge.engineering.gas_data import GASES

GAS = GASES["methane"]
FLOW = ("k", "molar_mass", "temperature", "z", "coefficient")

#: name: (function, how many numbers it takes by place, which by name)
CALLS: dict[str, tuple[Callable[..., Any], int, tuple[str, ...]]] = {
    "compressibility": (lambda *a: gas.compressibility(GAS, *a), 2, ()),
    "trapped_mass": (lambda *a: gas.trapped_mass(GAS, *a), 3, ()),
    "trapped_mass of a mixture": (lambda *a: gas.trapped_mass(gas.find_gas("biogas"), *a), 3, ()),  # type: ignore[arg-type]
    "mixture": (lambda a, b: gas.mixture({"methane": a, "carbon dioxide": b}), 2, ()),
    "mass_flow": (orifice.mass_flow, 3, FLOW),
    "relief_area": (orifice.relief_area, 3, FLOW),
    "critical_pressure_ratio": (orifice.critical_pressure_ratio, 1, ()),
    "vent_time": (venting.vent_time, 4, (*FLOW, "back")),
    "vent": (lambda *a, **k: venting.vent(GAS, *a, **k), 4, ("temperature", "back", "z", "coefficient")),
    "end_temperature": (venting.end_temperature, 4, ()),
    "force_on_cover": (venting.force_on_cover, 2, ()),
    "isentropic_energy": (energy.isentropic_energy, 4, ()),
    "brode_energy": (energy.brode_energy, 4, ()),
    "pressure_purge": (purging.pressure_purge, 5, ("temperature", "supply")),
    "vacuum_purge": (purging.vacuum_purge, 4, ("high", "temperature", "supply")),
    "sweep_purge": (purging.sweep_purge, 3, ("pressure", "temperature", "supply", "mixing")),
    "normal_volume": (purging.normal_volume, 1, ()),
    "leak_rate": (leaks.leak_rate, 6, ()),
    "throughput": (leaks.throughput, 2, ()),
    "molar_rate": (leaks.molar_rate, 2, ()),
    "allowed_pressure": (leaks.allowed_pressure, 6, ()),
    "allowed_drop": (leaks.allowed_drop, 4, ()),
    "allowed_rate": (leaks.allowed_rate, 4, ()),
    "needed_time": (leaks.needed_time, 5, ()),
    "temperature_effect": (leaks.temperature_effect, 3, ()),
    "gauge_error": (gauges.gauge_error, 3, ()),
    "gauge_ratio": (gauges.gauge_ratio, 4, ()),
    "iso_5208_rate": (lambda a: seats.iso_5208_rate("C", a, gas=True), 1, ()),
    "fci_share": (lambda a: seats.fci_share("IV", a), 1, ()),
    "fci_class_v": (seats.fci_class_v, 2, ()),
    "fci_class_vi": (seats.fci_class_vi, 1, ()),
    "three_point": (network.three_point, 3, ()),
    "chance_by": (network.chance_by, 3, ()),
}

USUAL = st.sampled_from([0.0, 0.01, 0.21, 0.6, 1.0, 1.3, 1.4, 20.0, 293.15, 300.0, 1e5, 1.1e5, 5e5, 1e6, 9e6])
ODD = st.sampled_from([nan, inf, -inf, 5e-324, 1e-200, 1e-31, 1e31, 1e308, -1.0, -300.0])


def assert_sound(found: Any) -> None:
    if isinstance(found, Result):
        assert isfinite(found.value) and found.formula and found.source and found.inputs
    elif isinstance(found, Outside):
        assert found.message
    elif isinstance(found, tuple):
        for each in found:
            assert_sound(each)
    elif is_dataclass(found) and not hasattr(found, "molar_mass"):
        for field in fields(found):
            assert_sound(getattr(found, field.name))


@pytest.mark.parametrize("name", CALLS)
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_a_result_or_a_reason(name: str, data: st.DataObject) -> None:
    function, count, names = CALLS[name]
    numbers = data.draw(st.lists(st.one_of(USUAL, USUAL, ODD, st.floats()), min_size=count, max_size=count))
    options = {n: data.draw(st.one_of(USUAL, ODD, st.floats()), label=n) for n in names}
    if "k" in options and data.draw(st.booleans()):  # mostly a gas, so that the formula is reached
        options |= {"k": 1.3, "molar_mass": 0.016, "temperature": 300.0, "z": 1.0, "coefficient": 0.7}
    assert_sound(function(*numbers, **options))
