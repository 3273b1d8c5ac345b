"""The energy of each pressure space in numbers: gas shut in, energy stored, time to vent, purging, gauge, force left."""

from __future__ import annotations

from procforge.analysis.machine import Machine
from procforge.engineering.base import Outside
from procforge.engineering.energy import brode_energy, isentropic_energy
from procforge.engineering.flammability import lower_explosive_limit
from procforge.engineering.gas import find_gas, trapped_mass
from procforge.engineering.gas_data import ATMOSPHERE, NORMAL_TEMPERATURE, Gas
from procforge.engineering.gauges import gauge_ratio
from procforge.engineering.leaks import temperature_effect
from procforge.engineering.purging import pressure_purge, sweep_purge
from procforge.engineering.venting import vent
from procforge.model.base import pick
from procforge.model.equipment import Energy, Supply, Vent
from procforge.model.procedure import Procedure, Step
from procforge.model.tree import walk
from procforge.plan.figures import PlanFigure, made
from procforge.plan.kit import Namer
from procforge.quantities import Quantity

#: The temperature the figures are worked out at; the language states none.
TEMPERATURE = NORMAL_TEMPERATURE + 20.0
#: What a vent time is worked out to where no proof states a limit: this far above the air, in Pa.
LEAST_OVERPRESSURE = 5000.0
#: What a purge is worked out to where no gas test states a limit: this share of the lower explosive limit.
SAFE_SHARE = 0.1


def energy_figures(procedure: Procedure, machine: Machine, namer: Namer) -> tuple[PlanFigure, ...]:
    """The figures of every pressure space that the procedure vents, purges, proves or pressurises."""
    steps = [w for w in walk(procedure.body) if isinstance(w, Step) and w.only_for.holds(machine.variant)]
    rows: list[PlanFigure] = []
    for name, energy in machine.energies.items():
        if energy.kind == "pressure-space" and any(ref.name == name for step in steps for ref in step.objects):
            rows += _space(energy, machine, namer(name), [s for s in steps if any(r.name == name for r in s.objects)])
    return tuple(rows)


def _absolute(value: Quantity) -> float:
    """A pressure in Pa absolute; a gauge pressure by the standard atmosphere."""
    return float(value.si) + (ATMOSPHERE if value.kind == "pressure-gauge" else 0.0)


def _gas(machine: Machine, name: str) -> Gas | Outside:
    words = [word.replace("-", " ") for word in machine.fluid(name)]
    for word in words:
        found = find_gas(word)
        if isinstance(found, Gas):
            return found
    return Outside(
        f"the gas {', '.join(words) or '(none stated)'} is not in the table", "work it out with its own data"
    )


def _space(energy: Energy, machine: Machine, title: str, steps: list[Step]) -> list[PlanFigure]:
    variant = machine.variant
    pressure, volume = pick(energy.pressure, variant), pick(energy.volume, variant)
    gas = _gas(machine, energy.name)
    rows: list[PlanFigure] = []
    limit = next(
        (s.limit.high for s in steps if s.verb == "prove" and s.limit is not None and s.limit.high is not None), None
    )
    if isinstance(gas, Outside):
        rows.append(made(title, "gas shut in", gas))
    elif isinstance(pressure, Quantity) and isinstance(volume, Quantity):
        p, v = _absolute(pressure), float(volume.si)
        rows.append(made(title, "gas shut in", trapped_mass(gas, v, p, TEMPERATURE)))
        if p > ATMOSPHERE:
            rows.append(made(title, "energy stored, isentropic", isentropic_energy(p, v, gas.k)))
            rows.append(made(title, "energy stored, by Brode", brode_energy(p, v, gas.k)))
            rows += _vents(energy, machine, title, gas, p, v, limit)
        rows += _purges(energy, machine, title, steps, gas, v)
    if isinstance(gas, Gas) and gas.lel is not None:
        rows.append(made(title, "lower explosive limit, vol", lower_explosive_limit(gas), "%"))
    rows += _gauges(machine, title, steps)
    return rows + _tests(title, steps)


def _vents(
    energy: Energy, machine: Machine, title: str, gas: Gas, pressure: float, volume: float, limit: Quantity | None
) -> list[PlanFigure]:
    to = _absolute(limit) if limit is not None else ATMOSPHERE
    to = max(to, ATMOSPHERE + LEAST_OVERPRESSURE)
    rows = []
    for one in energy.vents:
        way = one.value
        if not one.scope.holds(machine.variant) or not isinstance(way, Vent) or way.bore is None:
            continue
        found = vent(gas, volume, pressure, to, float(way.bore.si), temperature=TEMPERATURE)
        for name, time in (
            ("time to vent, walls warm", found.isothermal),
            ("time to vent, gas cooling", found.adiabatic),
        ):
            rows.append(made(title, f"{name}, to {(to - ATMOSPHERE) / 1e5:.3g} bar(g): never a proof", time, digits=2))
    return rows


def _purges(
    energy: Energy, machine: Machine, title: str, steps: list[Step], gas: Gas, volume: float
) -> list[PlanFigure]:
    """Volumes of a sweep, and pressure cycles where a supply for the space states its pressure."""
    if not any(step.verb == "purge" for step in steps) or gas.lel is None:
        return []
    limit = min(gas.lel) * SAFE_SHARE
    rows = []
    what = f"down to {limit * 100:.2g} % vol, {SAFE_SHARE:.0%} of the lower explosive limit"
    sweep = sweep_purge(1.0, limit, volume, temperature=TEMPERATURE)
    if isinstance(sweep, Outside):
        return [made(title, "purge by sweeping", sweep)]
    rows.append(made(title, f"purge by sweeping {what}: volumes of the space", sweep.amount))
    rows.append(made(title, "nitrogen for the sweep", sweep.nitrogen))
    for item in machine.items.values():
        if isinstance(item, Supply) and energy.name in item.feeds and item.up_to is not None:
            high = _absolute(item.up_to)
            cycles = pressure_purge(1.0, limit, ATMOSPHERE, high, volume, temperature=TEMPERATURE)
            if isinstance(cycles, Outside):
                rows.append(made(title, "purge by pressure", cycles))
            else:
                rows.append(made(title, f"purge by pressure to {item.up_to} {what}: cycles", cycles.amount))
                rows.append(made(title, "nitrogen for the cycles", cycles.nitrogen))
    return rows


def _gauges(machine: Machine, title: str, steps: list[Step]) -> list[PlanFigure]:
    rows = []
    for step in steps:
        if step.verb != "prove" or step.at is None or step.limit is None or step.limit.high is None:
            continue
        gauge = machine.gauge(step.at.name)
        if gauge is None or gauge.low is None or gauge.high is None or not gauge.accuracy:
            continue
        ratio = gauge_ratio(float(step.limit.high.si), float(gauge.accuracy), float(gauge.low.si), float(gauge.high.si))
        rows.append(made(title, f"limit {step.limit.high} over the error of {gauge.name} (4 or more is wanted)", ratio))
        break
    return rows


def _tests(title: str, steps: list[Step]) -> list[PlanFigure]:
    """What one degree does to a test pressure: what a leak test must be read against."""
    for step in steps:
        if step.verb == "pressurise" and step.to_amount is not None and step.to_amount.kind.startswith("pressure"):
            effect = temperature_effect(_absolute(step.to_amount), TEMPERATURE, 1.0)
            return [
                made(
                    title,
                    f"at the test pressure of {step.to_amount}, one degree changes the reading by",
                    effect,
                    "mbar",
                )
            ]
    return []
