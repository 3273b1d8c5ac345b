"""What must hold where a path ends: at the end of the job, and at a stop."""

from __future__ import annotations

from collections.abc import Iterable

from procforge.analysis.machine import Machine
from procforge.analysis.micro import Must
from procforge.analysis.states import Formula, fact, one, start_value, word_literals
from procforge.model.equipment import State

#: State of a fact to the rule that says it must be at the end as it was at the start.
COMPARED: dict[str, str] = {
    "locked": "lock-left-on", "torqued": "left-loose", "seated": "seal-left-out", "spent": "seal-not-renewed",
    "connected": "supply-left-connected", "pressured": "test-pressure-left-on", "stopped": "left-stopped",
    "tested": "left-untested", "air-free": "air-left-in",
}  # fmt: skip


def rule_at_end(machine: Machine, fact_: str) -> str:
    """The rule that compares this fact at the end, empty if none does."""
    state, _, name = fact_.partition(" ")
    kind = machine.kind(name)
    if state == "in":
        return {"temporary": "temporary-left-in", "guard": "guard-left-off"}.get(kind, "left-out")
    if state == "set":
        return "isolation-left-set" if kind == "isolator" else "vent-left-open"
    if state == "relieved":
        kept = kind == "stored-energy" or getattr(machine.items.get(name), "precharged", False)
        return "spring-left-slack" if kept else ""
    if state == "spent" and kind != "seal":
        return "spent-part-refitted"
    if state == "air-free" and not machine.flammable(name):
        return ""
    return COMPARED.get(state, "")


def left(machine: Machine, leaves: tuple[State, ...]) -> dict[str, bool]:
    """The facts that `leaves` gives another end value; leaving a part out leaves its fasteners and seals out."""
    found: dict[str, bool] = {}
    for state in leaves:
        for fact_, value in word_literals(machine, state):
            found[fact_] = value
    return found


def excused(machine: Machine, changed: dict[str, bool]) -> set[str]:
    """Facts that follow from what is left: the nuts and seals of a part left out, the tests of its space."""
    found: set[str] = set()
    for fact_, value in changed.items():
        state, _, name = fact_.partition(" ")
        item = machine.solids.get(name)
        if state == "in" and not value and item is not None:
            found |= {fact("torqued", f) for f in item.held_by} | {fact("seated", s) for s in item.sealed_by}
            found |= {fact("spent", s) for s in item.sealed_by}
            found |= {f"{s} {space}" for space in machine.closes(name) for s in ("tested", "air-free")}
    return found


def end_needs(
    machine: Machine, written: Iterable[str], start: dict[str, bool], leaves: tuple[State, ...]
) -> tuple[Must, ...]:
    """As at the start, except what `leaves` says; only facts that the job touches can differ."""
    changed = left(machine, leaves)
    free = excused(machine, changed) - set(changed)
    found = []
    for fact_ in sorted({*written, *changed}):
        name = fact_.partition(" ")[2]
        if fact_ in changed:
            found.append(Must(rule_at_end(machine, fact_) or "left-otherwise", one(fact_, changed[fact_]), name))
        elif fact_ not in free:
            rule = rule_at_end(machine, fact_)
            if rule:
                value = start.get(fact_, start_value(machine, fact_))
                found.append(Must(rule, one(fact_, value), name))
    return tuple(found)


def stop_needs(machine: Machine, written: set[str], start: dict[str, bool]) -> tuple[Must, ...]:
    """At a stop opened spaces are relieved or closed, isolating devices locked or as at the start, supplies off."""
    found = []
    for space, parts in machine.boundary.items():
        for part in parts:
            if fact("in", part) in written:
                found.append(
                    Must("stopped-while-open", (((fact("in", part), True),), ((fact("relieved", space), True),)), space)
                )
        if fact("pressured", space) in written:
            found.append(Must("test-pressure-left-on", one(fact("pressured", space), False), space))
    for name, supply in machine.supplies.items():
        if fact("connected", name) in written:
            off: Formula = (((fact("connected", name), False),),)
            valve = supply.through
            found.append(
                Must(
                    "supply-left-connected",
                    (*off, ((fact("locked", valve), True),)) if valve in machine.items else off,
                    name,
                )
            )
    for device, energies in machine.fed_by.items():
        if energies and machine.kind(device) in ("isolator", "valve") and fact("set", device) in written:
            about = fact("set", device)
            at_start = start.get(about, start_value(machine, about))
            formula = (((about, at_start),), ((fact("locked", device), True),))
            found.append(Must("stopped-unlocked", formula, device))
    return tuple(found)
