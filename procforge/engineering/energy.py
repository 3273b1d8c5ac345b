"""Energy stored in a compressed gas: what a sudden opening can set free. Pressures absolute in Pa, volume in m³."""

from __future__ import annotations

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.gas_data import ATMOSPHERE

_LIMITS = (
    "ideal gas, k constant; the energy of the gas alone, without liquid, springs or moving parts",
    "an upper figure of what can do harm; it does not give a safe distance",
)


def isentropic_energy(pressure: float, volume: float, k: float, ambient: float = ATMOSPHERE) -> Result | Outside:
    """Energy in J set free by isentropic expansion of `volume` at `pressure` down to `ambient`.

    Baker's equation; with k = 1.4 that of ASME PCC-2 article 5.1 for a pneumatic test.
    """
    fault = _fault(pressure, volume, k, ambient)
    if fault:
        return fault
    energy = pressure * volume / (k - 1) * (1 - (ambient / pressure) ** ((k - 1) / k))
    return Result(
        energy,
        "J",
        "E = p V / (k − 1) (1 − (p0 / p)^((k − 1) / k))",
        _inputs(pressure, volume, k, ambient),
        "isentropic expansion (Baker); for air as in ASME PCC-2 article 5.1",
        _LIMITS,
    )


def brode_energy(pressure: float, volume: float, k: float, ambient: float = ATMOSPHERE) -> Result | Outside:
    """Energy in J by Brode: that needed to raise the gas from `ambient` to `pressure` at constant volume; the higher."""
    fault = _fault(pressure, volume, k, ambient)
    if fault:
        return fault
    return Result(
        (pressure - ambient) * volume / (k - 1),
        "J",
        "E = (p − p0) V / (k − 1)",
        _inputs(pressure, volume, k, ambient),
        "Brode, Physics of Fluids 2 (1959) 217, as in handbooks on vessel bursts",
        _LIMITS,
    )


def _fault(pressure: float, volume: float, k: float, ambient: float) -> Outside | None:
    return (
        number("the ambient pressure, absolute", ambient, above=0, unit="Pa")
        or number("the absolute pressure", pressure, least=ambient, unit="Pa")
        or number("the volume", volume, above=0, unit="m³")
        or number("k", k, least=1.001, most=1.7)
    )


def _inputs(pressure: float, volume: float, k: float, ambient: float) -> tuple[Input, ...]:
    return (
        Input("pressure, absolute", pressure, "Pa"),
        Input("volume", volume, "m³"),
        Input("k", k),
        Input("ambient pressure, absolute", ambient, "Pa"),
    )
