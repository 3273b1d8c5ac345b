"""What the end of the job and a stop ask."""

from __future__ import annotations

from simulator.program import Asked
from simulator.states import Literal, condition, initially
from simulator.verbs import END
from simulator.world import SPACE, STORED, World, fact


def ending(world: World, touched: set[str], start: dict[str, bool]) -> list[tuple[str, Literal]]:
    """Each fact the end compares, of those the job has touched: its rule and the value it must have."""
    left: dict[str, bool] = {}
    for state in world.procedure.leaves:
        if state.name in world.procedure.equipment.items and state.name not in world.items:
            continue
        left |= dict(condition(world, state))
    excused: set[str] = set()
    for name in world.of_kind("part", "safety-device", "guard", "temporary"):
        if left.get(fact("in", name)) is False:
            excused |= {fact("torqued", f) for f in world.fasteners(name)}
            excused |= {fact(word, s) for s in world.seals(name) for word in ("seated", "spent")}
            excused |= {fact(word, s) for s in world.closes(name) for word in ("tested", "air-free")}
    found: list[tuple[str, Literal]] = []
    for name in [*world.items, ""]:
        for word in END:
            about = fact(word, name)
            rule = end_rule(world, word, name)
            if rule and about in touched and about not in left and about not in excused:
                found.append((rule, (about, initially(start, about))))
    for about, value in left.items():
        word, _, name = about.partition(" ")
        found.append((end_rule(world, word, name) or "left-otherwise", (about, value)))
    return found


def end_rule(world: World, word: str, name: str) -> str:
    """The rule under which the end compares a fact; empty where it compares none."""
    kind = world.kind(name)
    if word == "relieved" and kind != STORED and not (kind == SPACE and world.items[name].precharged):
        return ""
    if word == "air-free" and (kind != SPACE or "flammable" not in world.fluid(name)):
        return ""
    if word == "in":
        return {"guard": "guard-left-off", "temporary": "temporary-left-in"}.get(kind, END[word])
    if word == "set" and kind == "valve":
        return "vent-left-open"
    if word == "spent" and kind != "seal":
        return "spent-part-refitted"
    return END.get(word, "")


def stop_needs(world: World, touched: set[str], start: dict[str, bool]) -> Asked:
    """What a stop asks: opened spaces relieved, no test pressure, isolating devices locked or as they were."""
    found: Asked = []
    for space in world.of_kind(SPACE):
        for part in world.boundary(space):
            if fact("in", part) in touched:
                found.append(("stopped-while-open", (((fact("in", part), True),), ((fact("relieved", space), True),))))
        if fact("pressured", space) in touched:
            found.append(("test-pressure-left-on", (((fact("pressured", space), False),),)))
    for supply in world.of_kind("supply"):
        if fact("connected", supply) in touched:
            valve = world.here([world.items[supply].through])
            off = ((fact("connected", supply), False),)
            found.append(("supply-left-connected", (off, *(((fact("locked", v), True),) for v in valve))))
    for device in world.devices():
        about = fact("set", device)
        if about in touched:
            found.append(("stopped-unlocked", (((about, initially(start, about)),), ((fact("locked", device), True),))))
    return found
