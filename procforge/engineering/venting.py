"""How long a space takes to vent through its bore, and the force a pressure left behind puts on a cover.

A computed time is never a proof of zero pressure: every result says so. Absolute pressures in Pa, temperatures in K,
volumes in m³, lengths in m, times in s.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi, pow, sqrt

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.gas import may_be_liquid
from procforge.engineering.gas_data import ATMOSPHERE, Gas, R
from procforge.engineering.orifice import (
    LIMITS,
    SHARP_EDGED,
    SOURCE,
    critical_ratio,
    flow_factor,
    flow_fault,
    flow_inputs,
)

NEVER_A_PROOF = "a computed time is never a proof of zero pressure: prove it at the gauge"
_LIMITS = (
    NEVER_A_PROOF,
    *LIMITS,
    "the space alone: no inflow past a valve that leaks, nothing that boils off, no blockage of the bore",
    "a long or narrow vent line takes longer than the bore alone",
)
_STEPS = 400  # of Simpson's rule; the tests hold it to 1e-6 against an integrator


@dataclass(frozen=True, slots=True)
class Vent:
    """Vent time in s by both models of heat; the true time lies near or between them. `end_temperature` K, adiabatic."""

    isothermal: Result | Outside
    adiabatic: Result | Outside
    end_temperature: Result | Outside


def vent_time(
    volume: float,
    start: float,
    end: float,
    bore: float,
    *,
    k: float,
    molar_mass: float,
    temperature: float,
    back: float = ATMOSPHERE,
    z: float = 1.0,
    coefficient: float = SHARP_EDGED,
    adiabatic: bool = False,
) -> Result | Outside:
    """Time in s for a space of `volume` to fall from `start` to `end` through a round `bore` into `back` pressure.

    Choked while the back pressure is below the critical ratio, then subcritical. Isothermal: the walls keep the gas
    at `temperature`; adiabatic: it cools as it expands, by T = T0 (p / p0)^((k − 1) / k).
    """
    fault = (
        number("the volume", volume, above=0, unit="m³")
        or number("the bore", bore, above=0, unit="m")
        or number("the start pressure, absolute", start, above=0, unit="Pa")
        or number("the back pressure, absolute", back, above=0, unit="Pa")
        or number("the end pressure, absolute", end, above=0, most=start, unit="Pa")
        or flow_fault(k, molar_mass, temperature, z, coefficient)
    )
    if fault:
        return fault
    if end <= back:
        return Outside(
            f"the end pressure {end / 1e5:.5g} bar(a) is not above the back pressure {back / 1e5:.5g} bar(a)",
            "no time can be given for the last of it: take a pressure the gauge can tell from zero",
        )
    area = pi / 4 * bore * bore
    scale = volume / (coefficient * area * sqrt(z * R * temperature / molar_mass))
    expo = (k - 1) / (2 * k) if adiabatic else 0.0  # sqrt(T / T0) = (p / p0)^expo
    # dt = −scale · dp / (p · factor · (p/p0)^expo · n),  n = k adiabatic, 1 isothermal
    n = k if adiabatic else 1.0

    def per_root(root: float) -> float:
        """The same in s = sqrt(p − back): near the end dt/dp grows without bound, dt/ds does not."""
        p = back + root * root
        return 2 * root * scale / (p * flow_factor(k, back / p) * pow(p / start, expo) * n)

    critical = back / critical_ratio(k)
    seconds = 0.0
    if start > critical:
        seconds += _simpson(per_root, sqrt(max(end, critical) - back), sqrt(start - back))
    if end < critical:
        seconds += _simpson(per_root, sqrt(end - back), sqrt(min(start, critical) - back))
    model = "adiabatic, T = T0 (p/p0)^((k−1)/k)" if adiabatic else "isothermal"
    return Result(
        seconds,
        "s",
        f"t = ∫ dm / w from the start to the end pressure, m = p V M / (Z R T), {model}; choked, then subcritical",
        (
            Input("volume", volume, "m³"),
            Input("start pressure, absolute", start, "Pa"),
            Input("end pressure, absolute", end, "Pa"),
            Input("back pressure, absolute", back, "Pa"),
            Input("bore", bore, "m"),
            *flow_inputs(k, molar_mass, temperature, z, coefficient),
        ),
        SOURCE,
        _LIMITS,
    )


def vent(
    gas: Gas,
    volume: float,
    start: float,
    end: float,
    bore: float,
    *,
    temperature: float,
    back: float = ATMOSPHERE,
    z: float = 1.0,
    coefficient: float = SHARP_EDGED,
) -> Vent:
    """Both times for a known gas. None is given where the space may hold liquid at the start, and no adiabatic one
    where the gas would condense or freeze on its way down."""

    def seconds(adiabatic: bool) -> Result | Outside:
        return vent_time(
            volume,
            start,
            end,
            bore,
            k=gas.k,
            molar_mass=gas.molar_mass,
            temperature=temperature,
            back=back,
            z=z,
            coefficient=coefficient,
            adiabatic=adiabatic,
        )

    isothermal = seconds(False)
    if isinstance(isothermal, Outside):
        return Vent(isothermal, isothermal, isothermal)
    fault = may_be_liquid(gas, start, temperature)
    if fault:
        return Vent(fault, fault, fault)
    fault = _condenses(gas, start, end, temperature)
    if fault:
        return Vent(isothermal, fault, fault)
    return Vent(isothermal, seconds(True), end_temperature(start, end, gas.k, temperature))


def end_temperature(start: float, end: float, k: float, temperature: float) -> Result | Outside:
    """Temperature in K of the gas left in a space after it fell adiabatically from `start` to `end` Pa absolute."""
    fault = (
        number("the start pressure, absolute", start, above=0, unit="Pa")
        or number("the end pressure, absolute", end, above=0, most=start, unit="Pa")
        or number("k", k, least=1.001, most=1.7)
        or number("the temperature", temperature, above=0, most=2000, unit="K")
    )
    if fault:
        return fault
    return Result(
        temperature * (end / start) ** ((k - 1) / k),
        "K",
        "T = T0 (p / p0)^((k − 1) / k)",
        (
            Input("start pressure, absolute", start, "Pa"),
            Input("end pressure, absolute", end, "Pa"),
            Input("k", k),
            Input("start temperature", temperature, "K"),
        ),
        "isentropic change of an ideal gas",
        ("the coldest the gas can get; the walls warm it, so a real vessel stays warmer unless it vents in seconds",),
    )


def force_on_cover(pressure: float, diameter: float) -> Result | Outside:
    """Force in N that a pressure difference of `pressure` Pa puts on a round cover sealed at `diameter` m."""
    fault = number("the pressure, gauge", pressure, least=0, unit="Pa") or number(
        "the diameter", diameter, above=0, unit="m"
    )
    if fault:
        return fault
    return Result(
        pressure * pi / 4 * diameter * diameter,
        "N",
        "F = p π/4 D²",
        (Input("pressure, gauge", pressure, "Pa"), Input("diameter of the seal", diameter, "m")),
        "definition of pressure",
        ("the diameter to the outside of the seal, the most the pressure can act on",),
    )


def _condenses(gas: Gas, start: float, end: float, temperature: float) -> Outside | None:
    for step in range(1, 41):
        p = start * (end / start) ** (step / 40)
        t = temperature * (p / start) ** ((gas.k - 1) / gas.k)
        fault = may_be_liquid(gas, p, t)
        if fault:
            return Outside(
                f"on the way down without heat from the walls {fault.message}",
                "vent slowly, expect frost and a brittle wall, and pressure that comes back as the gas warms",
            )
    return None


def _simpson(f: Callable[[float], float], a: float, b: float) -> float:
    width = (b - a) / _STEPS
    inner = sum((4 if i % 2 else 2) * f(a + i * width) for i in range(1, _STEPS))
    return (f(a) + inner + f(b)) * width / 3
