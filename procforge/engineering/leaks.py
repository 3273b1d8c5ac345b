"""Leak test by pressure decay: the rate from two readings, the drop a rate allows, the time the gauge needs.

Pressures absolute in Pa, temperatures in K, volumes in m³, times in s. A leak rate is in mol/s, or as a throughput in
Pa·m³/s at the temperature stated with it. A rate is positive when gas leaves the space.
"""

from __future__ import annotations

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.gas_data import R

SOURCE = "ideal-gas balance of the space, the form of 40 CFR 1065.644"
REFERENCE_TEMPERATURE = 293.15  # K, to which a throughput in Pa·m³/s is referred unless stated otherwise
LEAST_TEMPERATURE, MOST_TEMPERATURE = 200.0, 600.0
GAUGE_RATIO = 4.0  # the drop must be this many times the smallest change the gauge can show
_LIMITS = (
    "gas of constant Z in a space of constant volume; no inflow past a valve that leaks",
    "temperature of the gas, not of the room: let it settle, and read it at both times",
)


def leak_rate(
    volume: float, first: float, first_temperature: float, second: float, second_temperature: float, seconds: float
) -> Result | Outside:
    """Leak rate in mol/s from two readings `seconds` apart; negative when gas came in."""
    fault = (
        number("the volume", volume, above=0, unit="m³")
        or _state_fault("first", first, first_temperature)
        or _state_fault("second", second, second_temperature)
        or number("the time", seconds, above=0, unit="s")
    )
    if fault:
        return fault
    rate = volume / R * (first / first_temperature - second / second_temperature) / seconds
    return Result(
        rate,
        "mol/s",
        "n = V / R (p1 / T1 − p2 / T2) / Δt",
        (
            Input("volume", volume, "m³"),
            Input("first pressure, absolute", first, "Pa"),
            Input("first temperature", first_temperature, "K"),
            Input("second pressure, absolute", second, "Pa"),
            Input("second temperature", second_temperature, "K"),
            Input("time", seconds, "s"),
        ),
        SOURCE,
        _LIMITS,
    )


def throughput(rate: float, temperature: float = REFERENCE_TEMPERATURE) -> Result | Outside:
    """A rate in mol/s as a throughput in Pa·m³/s at `temperature`."""
    fault = number("the rate", rate, unit="mol/s") or _temperature_fault("the temperature", temperature)
    if fault:
        return fault
    inputs = (Input("leak rate", rate, "mol/s"), Input("temperature", temperature, "K"))
    return Result(rate * R * temperature, "Pa·m³/s", "q = n R T", inputs, SOURCE, _LIMITS)


def molar_rate(flow: float, temperature: float = REFERENCE_TEMPERATURE) -> Result | Outside:
    """A throughput in Pa·m³/s at `temperature` as a rate in mol/s."""
    fault = number("the throughput", flow, unit="Pa·m³/s") or _temperature_fault("the temperature", temperature)
    if fault:
        return fault
    inputs = (Input("throughput", flow, "Pa·m³/s"), Input("temperature", temperature, "K"))
    return Result(flow / (R * temperature), "mol/s", "n = q / (R T)", inputs, SOURCE, _LIMITS)


def allowed_pressure(
    volume: float, start: float, start_temperature: float, end_temperature: float, rate: float, seconds: float
) -> Result | Outside:
    """The lowest absolute pressure in Pa that a space may show after `seconds` when `rate` mol/s is allowed."""
    fault = (
        number("the volume", volume, above=0, unit="m³")
        or _state_fault("start", start, start_temperature)
        or _temperature_fault("the end temperature", end_temperature)
        or number("the allowed rate", rate, least=0, unit="mol/s")
        or number("the time", seconds, above=0, unit="s")
    )
    if fault:
        return fault
    end = end_temperature * (start / start_temperature - rate * R * seconds / volume)
    if end <= 0:
        return Outside("the allowed rate empties the space within the time", "test for less time or state a lower rate")
    return Result(
        end,
        "Pa",
        "p2 = T2 (p1 / T1 − n R Δt / V)",
        (
            Input("volume", volume, "m³"),
            Input("start pressure, absolute", start, "Pa"),
            Input("start temperature", start_temperature, "K"),
            Input("end temperature", end_temperature, "K"),
            Input("allowed rate", rate, "mol/s"),
            Input("time", seconds, "s"),
        ),
        SOURCE,
        _LIMITS,
    )


def allowed_drop(volume: float, rate: float, seconds: float, temperature: float) -> Result | Outside:
    """Pressure drop in Pa that `rate` mol/s makes in `seconds` at constant temperature; with `allowed_rate` its back."""
    fault = (
        number("the volume", volume, above=0, unit="m³")
        or number("the allowed rate", rate, least=0, unit="mol/s")
        or number("the time", seconds, above=0, unit="s")
        or _temperature_fault("the temperature", temperature)
    )
    if fault:
        return fault
    inputs = (*_space(volume, temperature), Input("allowed rate", rate, "mol/s"), Input("time", seconds, "s"))
    return Result(rate * R * temperature * seconds / volume, "Pa", "Δp = n R T Δt / V", inputs, SOURCE, _LIMITS)


def allowed_rate(volume: float, drop: float, seconds: float, temperature: float) -> Result | Outside:
    """Leak rate in mol/s that a `drop` of Pa in `seconds` at constant temperature stands for."""
    fault = (
        number("the volume", volume, above=0, unit="m³")
        or number("the drop", drop, least=0, unit="Pa")
        or number("the time", seconds, above=0, unit="s")
        or _temperature_fault("the temperature", temperature)
    )
    if fault:
        return fault
    inputs = (*_space(volume, temperature), Input("drop", drop, "Pa"), Input("time", seconds, "s"))
    return Result(volume * drop / (R * temperature * seconds), "mol/s", "n = V Δp / (R T Δt)", inputs, SOURCE, _LIMITS)


def needed_time(
    volume: float, rate: float, resolution: float, temperature: float, ratio: float = GAUGE_RATIO
) -> Result | Outside:
    """Shortest time in s for the allowed `rate` mol/s to make a drop of `ratio` times what the gauge can show, Pa."""
    fault = (
        number("the volume", volume, above=0, unit="m³")
        or number("the allowed rate", rate, above=0, unit="mol/s")
        or number("the smallest change the gauge shows", resolution, above=0, unit="Pa")
        or _temperature_fault("the temperature", temperature)
        or number("the ratio", ratio, least=1, most=100)
    )
    if fault:
        return fault
    return Result(
        ratio * resolution * volume / (rate * R * temperature),
        "s",
        "Δt = ratio · resolution · V / (n R T)",
        (
            *_space(volume, temperature),
            Input("allowed rate", rate, "mol/s"),
            Input("smallest change the gauge shows", resolution, "Pa"),
            Input("ratio", ratio),
        ),
        f"{SOURCE}; a ratio of 4 is common practice",
        (*_LIMITS, "a change of the gas temperature can hide or feign the drop: see its effect beside the limit"),
    )


def temperature_effect(pressure: float, temperature: float, change: float) -> Result | Outside:
    """Pressure change in Pa that a `change` of K makes in a tight space."""
    fault = _state_fault("test", pressure, temperature) or number(
        "the temperature change", change, above=-temperature, unit="K"
    )
    if fault:
        return fault
    inputs = (
        Input("pressure, absolute", pressure, "Pa"),
        Input("temperature", temperature, "K"),
        Input("temperature change", change, "K"),
    )
    return Result(pressure * change / temperature, "Pa", "Δp = p ΔT / T", inputs, "ideal-gas law", _LIMITS[:1])


def _state_fault(which: str, pressure: float, temperature: float) -> Outside | None:
    return number(f"the {which} pressure, absolute", pressure, above=0, unit="Pa") or _temperature_fault(
        f"the {which} temperature", temperature
    )


def _temperature_fault(name: str, temperature: float) -> Outside | None:
    return number(name, temperature, least=LEAST_TEMPERATURE, most=MOST_TEMPERATURE, unit="K")


def _space(volume: float, temperature: float) -> tuple[Input, ...]:
    return (Input("volume", volume, "m³"), Input("temperature", temperature, "K"))
