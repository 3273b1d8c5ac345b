"""Whom a need or an effect is about: selectors that start at the object a verb acts on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from procforge.analysis.machine import Machine
from procforge.model.equipment import Energy, Solid

#: Stands for the machine as a whole.
WHOLE = ""


@dataclass(frozen=True, slots=True)
class Act:
    """One object of a step as a micro-step sees it: its name, the gauge it is read at, the supplies it uses."""

    name: str
    gauge: str = ""
    supplies: tuple[str, ...] = ()


def _attribute(machine: Machine, name: str, field: str) -> tuple[str, ...]:
    return tuple(n for n in getattr(machine.items.get(name), field, ()) if n in machine.items)


def _solids_at(machine: Machine, name: str) -> tuple[str, ...]:
    """The item itself if it is a solid, else the parts that the fastener holds or the seal seals."""
    kind = machine.kind(name)
    if kind == "fastener":
        return machine.held.get(name, ())
    if kind == "seal":
        return machine.sealed.get(name, ())
    return (name,)


def _once(names: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def bounds(machine: Machine, act: Act) -> tuple[str, ...]:
    """The spaces that acting on this item opens or closes."""
    return _once([s for p in _solids_at(machine, act.name) for s in machine.closes(p)])


def _near(machine: Machine, act: Act) -> tuple[str, ...]:
    own = list(_attribute(machine, act.name, "near"))
    return _once(own + [m for p in _solids_at(machine, act.name) for m in _attribute(machine, p, "near")])


def _held_back(machine: Machine, act: Act) -> tuple[str, ...]:
    own = list(_attribute(machine, act.name, "holds_back"))
    return _once(own + [e for p in _solids_at(machine, act.name) for e in _attribute(machine, p, "holds_back")])


def _fed(machine: Machine, act: Act) -> tuple[str, ...]:
    return machine.fed_by.get(act.name, ())


def _fed_kind(kind: str) -> Callable[[Machine, Act], tuple[str, ...]]:
    return lambda machine, act: tuple(e for e in _fed(machine, act) if machine.kind(e) == kind)


def _refilling(machine: Machine, spaces: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(s for s in spaces if machine.energies[s].reaccumulates)


def _vented_by(machine: Machine, act: Act) -> tuple[str, ...]:
    spaces = machine.kinds("pressure-space")
    return _refilling(machine, tuple(s for s in spaces if any(v.valve == act.name for v in machine.vents(s))))


def _gauged_behind(machine: Machine, act: Act) -> tuple[str, ...]:
    """Spaces read at a gauge that this root valve protects from their pressure."""
    found = []
    for space in machine.kinds("pressure-space"):
        for name in machine.gauges(space):
            gauge = machine.gauge(name)
            if gauge and gauge.root == act.name and gauge.not_above is not None:
                found.append(space)
    return _once(found)


def _single_use_seals(machine: Machine, act: Act) -> tuple[str, ...]:
    seals = [s for p in _solids_at(machine, act.name) for s in _attribute(machine, p, "sealed_by")]
    return _once([s for s in seals if machine.seals[s].single_use])


def _driven(machine: Machine, act: Act) -> tuple[str, ...]:
    if machine.kind(act.name) == "motion":
        return (act.name,)
    return tuple(n for n, e in machine.energies.items() if e.driver == act.name)


def _guarded(machine: Machine, act: Act) -> tuple[str, ...]:
    return _once([*_attribute(machine, act.name, "guards"), *_attribute(machine, act.name, "near")])


def _protected(machine: Machine, act: Act) -> tuple[str, ...]:
    """Spaces that lose a protection when this device comes out or its inlet valve is set."""
    item = machine.items.get(act.name)
    if isinstance(item, Solid) and item.gags:
        return ()
    return _once([s for d in loses_protection(machine, act.name) for s in _attribute(machine, d, "protects")])


def loses_protection(machine: Machine, name: str) -> tuple[str, ...]:
    """The safety devices that this item is, holds, seals, gags or isolates the inlet of."""
    item = machine.items.get(name)
    gagged = (item.gags,) if isinstance(item, Solid) and item.gags in machine.items else ()
    return _once([*_solids_at(machine, name), *machine.inlets.get(name, ()), *gagged])


def _gagged_over(machine: Machine, act: Act) -> tuple[str, ...]:
    item = machine.items.get(act.name)
    return _attribute(machine, item.gags, "protects") if isinstance(item, Solid) and item.gags in machine.items else ()


def _blocked(machine: Machine, act: Act) -> tuple[str, ...]:
    return tuple(n for n, e in machine.energies.items() if act.name in e.blocked_by and e.kind == "stored-energy")


def _driver_isolators(machine: Machine, _act: Act) -> tuple[str, ...]:
    motions = [n for n, e in machine.energies.items() if isinstance(e, Energy) and e.kind == "motion"]
    return _once(
        [
            b
            for m in motions
            for feed in machine.feeds[m]
            for s in feed
            for b in s.blocks
            if machine.kind(b) in ("isolator", "valve")
        ]
    )


def _unit(machine: Machine, act: Act) -> tuple[str, ...]:
    return tuple(u for u in (machine.units.get(act.name, ""),) if u in machine.items)


#: Selector word to the entities it gives; `it` is the object itself, `machine` the machine as a whole.
SELECTORS: dict[str, Callable[[Machine, Act], tuple[str, ...]]] = {
    "it": lambda m, a: (a.name,),
    "machine": lambda m, a: (WHOLE,),
    "bounds": bounds,
    "bounds-that-refill": lambda m, a: _refilling(m, bounds(m, a)),
    "boundary": lambda m, a: m.boundary.get(a.name, ()),
    "near": _near,
    "guarded": _guarded,
    "held-back": _held_back,
    "holding-back": lambda m, a: m.holding_back.get(a.name, ()),
    "holding-blocked": lambda m, a: _once([n for e in _blocked(m, a) for n in m.holding_back.get(e, ())]),
    "fed": _fed,
    "fed-spaces": _fed_kind("pressure-space"),
    "fed-motions": _fed_kind("motion"),
    "vents-of-refilling": _vented_by,
    "gauged-behind": _gauged_behind,
    "gauge": lambda m, a: (a.gauge,) if a.gauge in m.items else (),
    "supply": lambda m, a: a.supplies,
    "reached": lambda m, a: _once([a.name, *(s for n in a.supplies for s in m.supplies[n].feeds if s in m.items)]),
    "reached-by-supply": lambda m, a: SELECTORS["reached"](m, a) if a.supplies else (),
    "seals": lambda m, a: _attribute(m, a.name, "sealed_by"),
    "single-use-seals": _single_use_seals,
    "sealed": lambda m, a: m.sealed.get(a.name, ()),
    "fasteners": lambda m, a: _attribute(m, a.name, "held_by"),
    "held": lambda m, a: m.held.get(a.name, ()),
    "beneath": lambda m, a: m.beneath(a.name),
    "unit": _unit,
    "inner": lambda m, a: _attribute(m, a.name, "made_of"),
    "driven": _driven,
    "protected": _protected,
    "gagged-over": _gagged_over,
    "blocked": _blocked,
    "stood-in": lambda m, a: _attribute(m, a.name, "stands_in"),
    "all-motions": lambda m, a: m.kinds("motion"),
    "all-temporary": lambda m, a: m.kinds("temporary"),
    "all-driver-isolators": _driver_isolators,
}
