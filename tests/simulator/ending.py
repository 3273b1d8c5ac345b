"""What the end of the job and a stop ask."""

from __future__ import annotations

from simulator.program import Asked
from simulator.states import Literal, condition
from simulator.verbs import END
from simulator.world import SPACE, STORED, World, fact


def ending(world: World, touched: set[str], start: dict[str, bool]) -> list[tuple[str, Literal]]:
    """Each fact the end compares, of those the job has touched: its rule and the value it must have."""
    left: dict[str, bool] = {}
    for state in world.procedure.leaves:
        if state.name in world.procedure.equipment.items and state.name not in world.items:
            continue
        left |= dict(condition(world, state))
    implied: dict[str, bool] = {}
    for name in world.of_kind("part", "safety-device", "guard"):
        if left.get(fact("in", name)) is False:
            implied |= {fact("torqued", f): False for f in world.fasteners(name)}
            implied |= {fact("seated", s): False for s in world.seals(name)}
            implied |= {fact("tested", s): False for s in world.closes(name)}
    left = implied | left
    found: list[tuple[str, Literal]] = []
    for name, item in {**world.items, "": None}.items():
        for word, rule in END.items():
            about = fact(word, name)
            if about not in touched:
                continue
            kind = item.kind if item is not None else ""
            if word == "relieved" and kind != STORED:
                continue
            if word == "air-free" and (kind != SPACE or "flammable" not in world.fluid(name)):
                continue
            if word == "in":
                rule = {"guard": "guard-left-off", "temporary": "temporary-left-in"}.get(kind, rule)
            if word == "set" and kind == "valve":
                rule = "vent-left-open"
            if word == "spent" and kind != "seal":
                rule = "spent-part-refitted"
            found.append((rule, (about, left.get(about, start.get(about, False)))))
    return found


def stop_needs(world: World, touched: set[str], start: dict[str, bool]) -> Asked:
    """What a stop asks: opened spaces relieved, no test pressure, isolating devices locked or as they were."""
    found: Asked = []
    for space in world.of_kind(SPACE):
        for part in world.boundary(space):
            if fact("in", part) in touched:
                found.append(("stopped-while-open", (((fact("in", part), True),), ((fact("relieved", space), True),))))
        if fact("pressured", space) in touched:
            found.append(("test-pressure-left-on", (((fact("pressured", space), False),),)))
    for device in world.devices():
        about = fact("set", device)
        if about in touched:
            found.append(("stopped-unlocked", (((about, start.get(about, False)),), ((fact("locked", device), True),))))
    return found
