"""Purging a space to a limit: pressure cycles, vacuum cycles, or a sweep through it, and the purge gas each needs.

Fractions are volume fractions (0 to 1); pressures absolute in Pa; volumes in m³; temperatures in K. Perfect mixing:
Crowl and Louvar, Chemical Process Safety, chapter 7; Branan, Rules of Thumb for Chemical Engineers, 4th ed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, log

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.gas_data import ATMOSPHERE, GASES, NORMAL_TEMPERATURE, R

SOURCE = "Crowl and Louvar, Chemical Process Safety, chapter 7 (perfect mixing)"
_LIMITS = (
    "perfect mixing in every part of the space; dead legs, pockets and lines hanging off it defeat purging",
    "gas only: liquid or a wet deposit gives off more",
    "never a proof: measure what is left, at the far end of each branch",
)
_NITROGEN_LIMITS = ("ideal gas; none lost past valves that leak, none for hoses or a second try",)
_ROUNDING = 1e-9  # a count that is whole but for rounding is not raised by one
MOST_CYCLES = 1000  # beyond it the ratio of pressures is no purge


@dataclass(frozen=True, slots=True)
class Purge:
    """`amount`: whole cycles, or volumes of the space for a sweep; `left`: the fraction then; `nitrogen` in kg."""

    amount: Result
    left: Result
    nitrogen: Result


def pressure_purge(
    start: float,
    limit: float,
    low: float,
    high: float,
    volume: float,
    *,
    temperature: float = 293.15,
    supply: float = 0.0,
) -> Purge | Outside:
    """Cycles from `low` up to `high` with purge gas and down again, until the fraction falls from `start` to `limit`.

    `supply` is the fraction of the same substance in the purge gas (oxygen in the nitrogen, say).
    """
    return _cycles("pressure", start, limit, low, high, volume, temperature, supply)


def vacuum_purge(
    start: float,
    limit: float,
    low: float,
    volume: float,
    *,
    high: float = ATMOSPHERE,
    temperature: float = 293.15,
    supply: float = 0.0,
) -> Purge | Outside:
    """Cycles from `high` down to the vacuum `low` and up again with purge gas, until `start` falls to `limit`."""
    return _cycles("vacuum", start, limit, low, high, volume, temperature, supply)


def sweep_purge(
    start: float,
    limit: float,
    volume: float,
    *,
    pressure: float = ATMOSPHERE,
    temperature: float = 293.15,
    supply: float = 0.0,
    mixing: float = 1.0,
) -> Purge | Outside:
    """Purge gas led through the space at constant pressure; `amount` is in volumes of the space.

    `mixing` is 1 for perfect mixing, less where the gas goes straight from inlet to outlet (0.1 to 1).
    """
    fault = (
        _fractions_fault(start, limit, supply)
        or _space_fault(volume, temperature)
        or number("the absolute pressure", pressure, above=0, unit="Pa")
        or number("the mixing factor", mixing, least=0.1, most=1)
    )
    if fault:
        return fault
    volumes = max(0.0, log((start - supply) / (limit - supply))) / mixing
    inputs = (
        *_fraction_inputs(start, limit, supply),
        Input("mixing factor", mixing),
        *_space_inputs(volume, temperature),
        Input("pressure, absolute", pressure, "Pa"),
    )
    moles = volumes * pressure * volume / (R * temperature)
    return Purge(
        Result(volumes, "", "n = ln((y0 − ys) / (y − ys)) / K volumes", inputs, SOURCE, _LIMITS),
        Result(limit if volumes else start, "", "y = ys + (y0 − ys) exp(−K n)", inputs, SOURCE, _LIMITS),
        _nitrogen(moles, "m = n p V M / (R T)", inputs),
    )


def normal_volume(mass: float) -> Result | Outside:
    """Volume in m³ at 0 °C and 101.325 kPa of `mass` kg of nitrogen, as a supplier states it."""
    fault = number("the mass", mass, least=0, unit="kg")
    if fault:
        return fault
    value = mass / GASES["nitrogen"].molar_mass * R * NORMAL_TEMPERATURE / ATMOSPHERE
    inputs = (Input("mass of nitrogen", mass, "kg"),)
    return Result(value, "m³(n)", "V = m R T / (M p) at 0 °C, 101.325 kPa", inputs, "ideal-gas law", _NITROGEN_LIMITS)


def _cycles(
    way: str, start: float, limit: float, low: float, high: float, volume: float, temperature: float, supply: float
) -> Purge | Outside:
    fault = (
        _fractions_fault(start, limit, supply)
        or _space_fault(volume, temperature)
        or number("the low pressure, absolute", low, above=0, unit="Pa")
        or number("the high pressure, absolute", high, above=low, unit="Pa")
    )
    if fault:
        return fault
    exact = max(0.0, log((limit - supply) / (start - supply)) / log(low / high))
    if exact > MOST_CYCLES:
        return Outside(f"{exact:.0f} cycles would be needed", "the two pressures lie too near each other for a purge")
    count = ceil(exact - _ROUNDING)
    inputs = (
        *_fraction_inputs(start, limit, supply),
        Input("low pressure, absolute", low, "Pa"),
        Input("high pressure, absolute", high, "Pa"),
        *_space_inputs(volume, temperature),
        Input("cycles before rounding up", exact),
    )
    left = supply + (start - supply) * (low / high) ** count
    limits = (*_LIMITS, f"{way} cycles, each to the full pressures; temperature even again before each turn")
    moles = count * (high - low) * volume / (R * temperature)
    return Purge(
        Result(count, "", "n = ceil(ln((y − ys) / (y0 − ys)) / ln(p_low / p_high))", inputs, SOURCE, limits),
        Result(left, "", "y = ys + (y0 − ys) (p_low / p_high)^n", inputs, SOURCE, limits),
        _nitrogen(moles, "m = n (p_high − p_low) V M / (R T)", inputs),
    )


def _nitrogen(moles: float, formula: str, inputs: tuple[Input, ...]) -> Result:
    return Result(moles * GASES["nitrogen"].molar_mass, "kg", formula, inputs, SOURCE, (*_LIMITS, *_NITROGEN_LIMITS))


def _fractions_fault(start: float, limit: float, supply: float) -> Outside | None:
    fault = (
        number("the fraction at the start", start, above=0, most=1)
        or number("the fraction to reach", limit, above=0, most=1)
        or number("the fraction in the purge gas", supply, least=0, below=1)
    )
    if fault:
        return fault
    if limit <= supply or start <= supply:
        return Outside(
            f"the purge gas itself holds {supply:g} of it; {min(limit, start):g} cannot be purged with it",
            "state a purer purge gas or a higher limit",
        )
    return None


def _space_fault(volume: float, temperature: float) -> Outside | None:
    return number("the volume", volume, above=0, unit="m³") or number(
        "the temperature", temperature, least=200, most=600, unit="K"
    )


def _fraction_inputs(start: float, limit: float, supply: float) -> tuple[Input, ...]:
    return (Input("fraction at the start", start), Input("fraction to reach", limit), Input("in the purge gas", supply))


def _space_inputs(volume: float, temperature: float) -> tuple[Input, ...]:
    return (Input("volume", volume, "m³"), Input("temperature", temperature, "K"))
