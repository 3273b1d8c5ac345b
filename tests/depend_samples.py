"""A small machine, jobs on it that are made from a seed, and their steps put into other orders."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from procforge.analysis.depends import Dependencies, Edge
from procforge.analysis.proof import prove, sound, variants_of
from procforge.model.procedure import AnyWork, Group, Procedure
from procforge.model.tree import bodies
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve

#: Two covers over two valves on one space; the second feed has two blocks with a bleed.
MACHINE = """equipment T "Test vessel"
pressure-space vessel "Vessel"
  holds nitrogen
  pressure 6 bar(g)
  isolated by inlet, (outlet and second with bleed bleed)
  vented by vent
  proved at PI-1
  tested in service
isolator inlet "Inlet"
  in service open, isolates when shut
isolator outlet "Outlet"
  in service open, isolates when shut
isolator second "Second outlet"
  in service open, isolates when shut
valve bleed "Bleed"
  in service shut
valve vent "Vent"
  in service shut
gauge PI-1 "Gauge"
  0 bar(g) to 10 bar(g), class 1.0
places east, west
part cover "Cover"
  at each of east, west
  closes vessel
  held by nuts
  sealed by ring
  over insert
part insert "Insert"
  at each of east, west
  judged by look
fastener nuts "Nuts"
  4 x M12, class 8.8, oiled
  torque 60 N.m
  pattern cross, passes 30 %, 100 %
seal ring "Ring"
  single-use
"""

HEAD = """procedure T-1 "Open the vessel"
revision A, 2026-01-01, "First issue"
use "vessel.equip"
crew 1 fitter
"""

JOB = """step isolate inlet
step isolate outlet, second
step open bleed
step lock inlet
step lock outlet, second, bleed
step vent vessel
step shut vent
step prove vessel
step ease nuts of east
step remove nuts of east
step remove cover of east
step remove ring of east
step look-into vessel
step fit ring of east new
step fit cover of east
step tighten nuts of east
step clear area
step unlock inlet, outlet, second, bleed
step return bleed, inlet
step return outlet, second
step leak-test vessel"""

#: Work on the west side, in an order of its own; each run goes in anywhere between the proof and the closing.
WEST = """step remove nuts of west
step remove cover of west
step remove insert of west
check look of west on insert of west
step renew insert of west
step fit insert of west
step look-into vessel
step fit ring of west new
step fit cover of west
step tighten nuts of west"""

#: Steps that may go in anywhere the proof bears them.
EXTRAS = (
    "step prove vessel", "step observe vessel", "step open vent", "step shut vent", "step retighten nuts of east",
    "step nip-up nuts of east", "step clear area", "step mark insert of west", "step vent vessel",
    "step look-into vessel", "step ease nuts of west", "step notify control-room", 'hold H1 "Seen"\n  sees vessel', "step lock inlet",
)  # fmt: skip


def resolved(body: str, head: str = HEAD, machine: str = MACHINE) -> Procedure:
    """A procedure on the machine from the lines of its work; no error in them."""
    files = {"vessel.equip": machine, "job.proc": head + body + "\n"}
    outcome = resolve(Library(lambda path: files[path.name].encode()), Path("job.proc"))
    errors = [f for f in outcome.findings if f.severity >= 3]
    assert not errors, [(f.rule, f.message) for f in errors]
    return outcome.value


def is_sound(procedure: Procedure) -> bool:
    """Whether the proof holds for every variant."""
    return sound(prove(procedure, variants_of(procedure)))


def straight(seed: int) -> Procedure:
    """A sound straight-line job made from a seed: the east side, often the west, and extras the proof bears."""
    pick = random.Random(seed)
    lines = JOB.split("\n")
    if pick.random() < 0.6:
        west = WEST.replace("look of west on", "look on").split("\n")
        at = sorted(
            pick.choices(range(lines.index("step ease nuts of east"), lines.index("step clear area") + 1), k=len(west))
        )
        for place, line in reversed(list(zip(at, west, strict=True))):
            lines.insert(place, line)
    wanted, tries = pick.randint(1, 5), 0
    while wanted and tries < 40:
        tries += 1
        longer = list(lines)
        longer.insert(pick.randint(0, len(lines)), pick.choice(EXTRAS))
        if "\n".join(longer).count("hold H1") < 2 and is_sound(resolved("\n".join(longer))):
            lines, wanted = longer, wanted - 1
    return resolved("\n".join(lines))


# ---- other orders --------------------------------------------------------------------------------
def orders(count: int, edges: Iterator[tuple[int, int]] | list[tuple[int, int]], pick: random.Random) -> list[int]:
    """One order of `count` things that keeps the edges (earlier, later), each choice taken at random."""
    waits = [0] * count
    after: list[list[int]] = [[] for _ in range(count)]
    for earlier, later in set(edges):
        waits[later] += 1
        after[earlier].append(later)
    free, made = [n for n in range(count) if not waits[n]], []
    while free:
        made.append(free.pop(pick.randrange(len(free))))
        for later in after[made[-1]]:
            waits[later] -= 1
            if not waits[later]:
                free.append(later)
    assert len(made) == count, "the dependencies go round in a circle"
    return made


def every_order(count: int, edges: list[tuple[int, int]]) -> Iterator[list[int]]:
    """Every order of `count` things that keeps the edges."""
    before = [0] * count
    for earlier, later in edges:
        before[later] |= 1 << earlier

    def go(made: list[int], done: int) -> Iterator[list[int]]:
        if len(made) == count:
            yield made
        for n in range(count):
            if not done >> n & 1 and not before[n] & ~done:
                yield from go([*made, n], done | 1 << n)

    return go([], 0)


def mixed(procedure: Procedure, depends: Dependencies, edges: tuple[Edge, ...], pick: random.Random) -> Procedure:
    """The procedure with every block's statements in another order that keeps the edges between all they hold."""
    number = {id(unit.work): unit.number for unit in depends.units}

    def units(work: AnyWork) -> set[int]:
        found = {number[id(work)]} if id(work) in number else set()
        if work.kind != "repeat":
            for body in bodies(work):
                for inner in body:
                    found |= units(inner)
        return found

    def mix(body: tuple[AnyWork, ...]) -> tuple[AnyWork, ...]:
        home = {unit: at for at, work in enumerate(body) for unit in units(work)}
        pairs = [(home[e.source], home[e.target]) for e in edges if e.source in home and e.target in home]
        order = orders(len(body), [(a, b) for a, b in pairs if a != b], pick)
        return tuple(inside(body[at]) for at in order)

    def inside(work: AnyWork) -> AnyWork:
        if work.kind == "ask":
            return work.but(yes=mix(work.yes), no=mix(work.no))
        if work.kind == "when":
            return work.but(body=mix(work.body), otherwise=mix(work.otherwise))
        if work.kind == "group":
            return work.but(lanes=tuple(mix(lane) for lane in work.lanes))
        return work

    return procedure.but(body=mix(flat(procedure.body)))


def flat(body: tuple[AnyWork, ...]) -> tuple[AnyWork, ...]:
    """A body without its sections, whose work it keeps."""
    found: list[AnyWork] = []
    for work in body:
        if isinstance(work, Group) and work.form == "section":
            found += [w for lane in work.lanes for w in lane]
        else:
            found.append(work)
    return tuple(found)
