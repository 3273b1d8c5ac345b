"""Flow of a gas through a bore: critical and subcritical, and the area a flow needs.

Ideal gas with a constant k and a constant Z, isentropic to the throat (ISO 4126-7:2013 and API 520 part I, 10th ed.,
give the same two equations with their units folded in). Pressures absolute in Pa, temperatures in K, areas in m².
"""

from __future__ import annotations

from math import pow, sqrt

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.gas_data import R

SHARP_EDGED = 0.61  # discharge coefficient of a sharp-edged hole at low flow, the cautious end for a vent time
SOURCE = "isentropic nozzle flow, as in API 520 part I and ISO 4126-7"
LIMITS = (
    "gas only, k and Z constant; no friction upstream or downstream of the bore",
    "the discharge coefficient as stated (sharp edge 0.61 at low flow to 0.85 when choked)",
)
LEAST_K, MOST_K = 1.001, 1.7
LEAST_Z, MOST_Z = 0.3, 1.6


def critical_ratio(k: float) -> float:
    """Pressure ratio p_down / p_up at and below which the flow is choked, for 1 < k."""
    return pow(2 / (k + 1), k / (k - 1))


def choked_constant(k: float) -> float:
    """C in the choked flow  w = Cd A C p sqrt(M / (Z R T))."""
    return sqrt(k) * pow(2 / (k + 1), (k + 1) / (2 * (k - 1)))


def flow_factor(k: float, ratio: float) -> float:
    """The same factor at the pressure ratio p_down / p_up, 0 to 1: `choked_constant` to the critical ratio, then less."""
    if ratio <= critical_ratio(k):
        return choked_constant(k)
    return sqrt(max(0.0, 2 * k / (k - 1) * (ratio ** (2 / k) - ratio ** ((k + 1) / k))))


def critical_pressure_ratio(k: float) -> Result | Outside:
    """Critical pressure ratio of a gas of heat capacity ratio k, a pure number."""
    fault = number("k", k, least=LEAST_K, most=MOST_K)
    if fault:
        return fault
    return Result(critical_ratio(k), "", "r = (2 / (k + 1))^(k / (k − 1))", (Input("k", k),), SOURCE, ("ideal gas",))


def flow_fault(k: float, molar_mass: float, temperature: float, z: float, coefficient: float) -> Outside | None:
    """Why these are no inputs for a flow through a bore, or None."""
    return (
        number("k", k, least=LEAST_K, most=MOST_K)
        or number("the molar mass", molar_mass, least=0.002, most=0.5, unit="kg/mol")
        or number("the temperature", temperature, above=0, most=2000, unit="K")
        or number("Z", z, least=LEAST_Z, most=MOST_Z)
        or number("the discharge coefficient", coefficient, above=0, most=1)
    )


def mass_flow(
    upstream: float,
    downstream: float,
    area: float,
    *,
    k: float,
    molar_mass: float,
    temperature: float,
    z: float = 1.0,
    coefficient: float = SHARP_EDGED,
) -> Result | Outside:
    """Mass flow in kg/s through a bore of `area` m², from `upstream` to `downstream` Pa absolute."""
    fault = (
        number("the upstream pressure, absolute", upstream, above=0, unit="Pa")
        or number("the downstream pressure, absolute", downstream, least=0, most=upstream, unit="Pa")
        or number("the area", area, above=0, unit="m²")
        or flow_fault(k, molar_mass, temperature, z, coefficient)
    )
    if fault:
        return fault
    ratio = downstream / upstream
    choked = ratio <= critical_ratio(k)
    flow = coefficient * area * flow_factor(k, ratio) * upstream * sqrt(molar_mass / (z * R * temperature))
    return Result(
        flow,
        "kg/s",
        "w = Cd A p sqrt(k) (2/(k+1))^((k+1)/(2(k−1))) sqrt(M / (Z R T)), choked"
        if choked
        else "w = Cd A p sqrt(2k/(k−1) (r^(2/k) − r^((k+1)/k))) sqrt(M / (Z R T)), subcritical",
        (
            Input("upstream pressure, absolute", upstream, "Pa"),
            Input("downstream pressure, absolute", downstream, "Pa"),
            Input("area", area, "m²"),
            *flow_inputs(k, molar_mass, temperature, z, coefficient),
        ),
        SOURCE,
        LIMITS,
    )


def relief_area(
    flow: float,
    upstream: float,
    downstream: float,
    *,
    k: float,
    molar_mass: float,
    temperature: float,
    z: float = 1.0,
    coefficient: float = 0.975,
) -> Result | Outside:
    """Area in m² of a relief device for `flow` kg/s at relieving pressure `upstream`, back pressure `downstream` Pa
    absolute. For a back pressure above the critical ratio this is the equation of a conventional valve (API 520)."""
    per_area = mass_flow(
        upstream, downstream, 1.0, k=k, molar_mass=molar_mass, temperature=temperature, z=z, coefficient=coefficient
    )
    fault = number("the flow", flow, above=0, unit="kg/s")
    if fault or isinstance(per_area, Outside):
        return fault or per_area
    if not per_area.value:
        return Outside("there is no flow without a pressure difference", "the back pressure equals the inlet pressure")
    inputs = (Input("mass flow", flow, "kg/s"), *(i for i in per_area.inputs if i.name != "area"))
    return Result(
        flow / per_area.value,
        "m²",
        f"A = w / (w / A);  {per_area.formula}",
        inputs,
        SOURCE,
        (*LIMITS, "no bursting disc, no bellows; a check of a figure, not the sizing of a device"),
    )


def flow_inputs(k: float, molar_mass: float, temperature: float, z: float, coefficient: float) -> tuple[Input, ...]:
    """The gas and the bore as inputs of a result."""
    return (
        Input("k", k),
        Input("molar mass", molar_mass, "kg/mol"),
        Input("temperature", temperature, "K"),
        Input("Z", z),
        Input("discharge coefficient", coefficient),
    )
