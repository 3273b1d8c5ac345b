"""A gas at a pressure and a temperature: which gas, compressibility, density, mass trapped in a space.

Pressures are absolute, in Pa; temperatures in K; volumes in m³. Where the fluid may be liquid there is no number.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, inf, sqrt

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.gas_data import ALSO, CONSTANTS, FREEZING, GASES, MIXTURES, Gas, R
from procforge.engineering.lee_kesler import compressibility_factor

LEAST_TEMPERATURE, MOST_TEMPERATURE = 230.0, 450.0  # K, the range checked against reference equations
MOST_PRESSURE = 300e5  # Pa
VAPOUR_MARGIN = 0.90  # share of the saturation pressure from which a space may hold liquid (estimate within 3 %)
DENSE_TEMPERATURE, DENSE_PRESSURE = 1.12, 0.9  # reduced: nearer the critical point no simple correlation holds

Z_SOURCE = f"Lee and Kesler, AIChE Journal 21 (1975) 510, with the constants of the {CONSTANTS}"
Z_LIMITS = (
    "gas only, 230 to 450 K, to 300 bar(a); within 2 % from 1.3 times the critical temperature, within 5 % nearer to it",
)


def find_gas(name: str) -> Gas | Outside:
    """The gas or mixture of that name or formula, in any case."""
    plain = " ".join(name.lower().replace("_", " ").split())
    plain = ALSO.get(plain, plain)
    if plain in MIXTURES:
        return mixture(MIXTURES[plain], plain)
    if plain in GASES:
        return GASES[plain]
    known = ", ".join([*GASES, *MIXTURES])
    return Outside(f"no data for the gas {name!r}", f"known are {known}; or state the fractions of a mixture of them")


def mixture(fractions: Mapping[str, float], name: str = "") -> Gas | Outside:
    """A mixture of known gases by mole (volume) fraction, which must add up to 1 within 0.001.

    Critical constants by the mixing rules of Lee and Kesler (1975), k from the mole-weighted heat capacities, LEL
    by Le Chatelier's rule with the gases that do not burn as diluents.
    """
    parts: list[tuple[Gas, float]] = []
    for part, share in fractions.items():
        gas = number(f"the fraction of {part}", share, least=0, most=1) or find_gas(part)
        if isinstance(gas, Outside):
            return gas
        if gas.parts:
            return Outside(f"{part} is itself a mixture", "state the fractions of its components")
        if share:
            parts.append((gas, share))
    total = sum(share for _, share in parts)
    if abs(total - 1) > 1e-3:
        return Outside(f"the fractions add up to {total:g}", "they must add up to 1")
    if len(parts) == 1:
        return parts[0][0]
    parts = [(gas, share / total) for gas, share in parts]
    volumes = [(0.2905 - 0.085 * g.acentric) * R * g.critical_temperature / g.critical_pressure for g, _ in parts]
    volume = temperature = 0.0
    for (a, x), v in zip(parts, volumes, strict=True):
        for (b, y), w in zip(parts, volumes, strict=True):
            share = x * y * (v ** (1 / 3) + w ** (1 / 3)) ** 3 / 8
            volume += share
            temperature += share * sqrt(a.critical_temperature * b.critical_temperature)
    temperature /= volume
    acentric = sum(g.acentric * x for g, x in parts)
    capacity = sum(x * g.k / (g.k - 1) for g, x in parts)  # cp / R
    return Gas(
        name or " + ".join(f"{x:.3g} {g.name}" for g, x in parts),
        sum(g.molar_mass * x for g, x in parts),
        capacity / (capacity - 1),
        temperature,
        (0.2905 - 0.085 * acentric) * R * temperature / volume,
        acentric,
        _le_chatelier(parts),
        tuple(parts),
    )


def _le_chatelier(parts: list[tuple[Gas, float]]) -> tuple[float, float] | None:
    sums = [sum(x / g.lel[edition] for g, x in parts if g.lel) for edition in (0, 1)]
    if not all(sums):
        return None
    iec, nfpa = (1 / s for s in sums)
    return (iec, nfpa) if iec < 1 and nfpa < 1 else None


def saturation_pressure(gas: Gas, temperature: float) -> float | None:
    """Vapour pressure of a pure gas in Pa, over its ice below the triple point; None at and above the critical one.

    Ambrose and Walton, Pure and Applied Chemistry 61 (1989) 1395; the tests compare it with reference equations.
    """
    reduced = temperature / gas.critical_temperature
    if reduced >= 1:
        return None
    t = 1 - reduced
    simple = -5.97616 * t + 1.29874 * t**1.5 - 0.60394 * t**2.5 - 1.06841 * t**5
    first = -5.03365 * t + 1.11505 * t**1.5 - 5.41217 * t**2.5 - 7.46628 * t**5
    second = -0.64771 * t + 2.41539 * t**1.5 - 4.26979 * t**2.5 + 3.25259 * t**5
    w = gas.acentric
    liquid = gas.critical_pressure * exp((simple + w * first + w * w * second) / reduced)
    triple, fusion = FREEZING.get(gas.name, (0.0, 0.0))
    # Over ice it falls faster, by the heat of fusion (Clausius and Clapeyron).
    return liquid * exp(-fusion / R * (1 / temperature - 1 / triple)) if temperature < triple else liquid


def may_be_liquid(gas: Gas, pressure: float, temperature: float) -> Outside | None:
    """Why the fluid may be liquid or as dense as one at that state, or None. Pressure Pa absolute, temperature K.

    A mixture is judged by its components' partial pressures (Raoult's law), so with a wide margin only.
    """
    fault = number("the absolute pressure", pressure, above=0, unit="Pa") or number(
        "the temperature", temperature, least=1, unit="K"
    )
    if fault:
        return fault
    load = 0.0
    for part, share in gas.parts or ((gas, 1.0),):
        saturation = saturation_pressure(part, temperature)
        if saturation is not None:
            load += share * pressure / saturation if saturation else inf  # 0 so far below that nothing is left as gas
    at = f"{gas.name} at {pressure / 1e5:.4g} bar(a) and {temperature:.4g} K"
    if load >= VAPOUR_MARGIN:
        return Outside(
            f"{at} may be liquid or frozen: at {min(load, 99):.0%} of its saturation pressure",
            "a gas formula does not hold; a liquid that boils off keeps its pressure for long after venting starts",
        )
    near = temperature < DENSE_TEMPERATURE * gas.critical_temperature
    if near and pressure > DENSE_PRESSURE * gas.critical_pressure:
        return Outside(f"{at} is near its critical point and nearly as dense as a liquid", "no gas formula holds there")
    return None


def state_fault(gas: Gas, pressure: float, temperature: float) -> Outside | None:
    """Why no gas formula may be used at that state, or None."""
    return (
        number("the absolute pressure", pressure, above=0, unit="Pa")
        or number("the pressure", pressure, most=MOST_PRESSURE, unit="Pa(a)")
        or number("the temperature", temperature, least=LEAST_TEMPERATURE, most=MOST_TEMPERATURE, unit="K")
        or may_be_liquid(gas, pressure, temperature)
    )


def compressibility(gas: Gas, pressure: float, temperature: float) -> Result | Outside:
    """Compressibility factor Z of the gas; pressure Pa absolute, temperature K."""
    fault = state_fault(gas, pressure, temperature)
    if fault:
        return fault
    z = compressibility_factor(temperature / gas.critical_temperature, pressure / gas.critical_pressure, gas.acentric)
    return Result(z, "", "Z = Z0 + (ω / 0.3978) (Zr − Z0)", _state(gas, pressure, temperature), Z_SOURCE, Z_LIMITS)


def density(gas: Gas, pressure: float, temperature: float) -> Result | Outside:
    """Density in kg/m³; pressure Pa absolute, temperature K."""
    z = compressibility(gas, pressure, temperature)
    if isinstance(z, Outside):
        return z
    value = pressure * gas.molar_mass / (z.value * R * temperature)
    return Result(
        value,
        "kg/m³",
        "density = p M / (Z R T)",
        (*z.inputs, Input("Z", z.value)),
        f"real-gas law; Z: {Z_SOURCE}",
        Z_LIMITS,
    )


def trapped_mass(gas: Gas, volume: float, pressure: float, temperature: float) -> Result | Outside:
    """Mass of gas in kg shut in a space; volume m³, pressure Pa absolute, temperature K."""
    fault = number("the volume", volume, above=0, unit="m³")
    rho = fault or density(gas, pressure, temperature)
    if isinstance(rho, Outside):
        return rho
    return Result(
        rho.value * volume,
        "kg",
        "m = p V M / (Z R T)",
        (Input("volume", volume, "m³"), *rho.inputs),
        rho.source,
        (*Z_LIMITS, "the volume as stated; piping, bottles and dead legs shut in with it count too"),
    )


def _state(gas: Gas, pressure: float, temperature: float) -> tuple[Input, ...]:
    return (
        Input(f"molar mass of {gas.name}", gas.molar_mass, "kg/mol"),
        Input("pressure, absolute", pressure, "Pa"),
        Input("temperature", temperature, "K"),
    )
