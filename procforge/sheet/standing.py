"""How the machine stands at a stopping place: what is locked, open, out, fitted and proved, on every way there.

A forward pass over the program of the proof. A fact that some ways leave so and others not is "perhaps". Lanes are
taken one after the other, which gives the right state after them; a stop inside a lane is told as if the lanes
before it were done.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from procforge.analysis.build import build_program
from procforge.analysis.program import Kind, Program
from procforge.model.procedure import Mark
from procforge.sheet.english import joined, upper_first
from procforge.sheet.inline import Prose
from procforge.sheet.job import Job
from procforge.sheet.sentences import position

Facts = tuple[int, int]  # a bit for each fact: may be true, may be false


@dataclass(frozen=True, slots=True)
class Standing:
    """Facts that surely hold, may hold and surely don't, as `state name`; others are as at the start."""

    sure: frozenset[str]
    perhaps: frozenset[str]
    never: frozenset[str] = frozenset()

    def names(self, state: str, order: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The names in that state, sure and perhaps, in the order given."""
        return (
            tuple(n for n in order if f"{state} {n}" in self.sure),
            tuple(n for n in order if f"{state} {n}" in self.perhaps),
        )


def standings(job: Job) -> dict[int, Standing]:
    """By `id` of the mark: how things stand where it is reached; nothing for one that is never reached."""
    program = next((p for group, p in job.proof.programs if job.variant in group), None) if job.proof else None
    program = program or build_program(job.procedure, job.machine)
    facts = tuple(sorted(program.facts() | set(program.start) | program.written()))
    index = {fact: at for at, fact in enumerate(facts)}
    found: dict[int, Facts] = {}
    for at, state in enumerate(_pass(program, index)):
        work = program.nodes[at].work
        if state is not None and isinstance(work, Mark):
            one, none = found.get(id(work), (0, 0))
            found[id(work)] = (one | state[0], none | state[1])
    return {
        key: Standing(
            frozenset(f for f, at in index.items() if one >> at & 1 and not none >> at & 1),
            frozenset(f for f, at in index.items() if one >> at & 1 and none >> at & 1),
            frozenset(f for f, at in index.items() if none >> at & 1 and not one >> at & 1),
        )
        for key, (one, none) in found.items()
    }


def _pass(program: Program, index: dict[str, int]) -> list[Facts | None]:
    """The state before each node."""
    nodes = program.nodes
    after_lane = _lane_ends(program)
    before: list[Facts | None] = [None] * (len(nodes) + 1)
    one = sum(1 << at for fact, at in index.items() if program.start.get(fact, False))
    every = (1 << len(index)) - 1
    before[0] = (one, every & ~one)
    waiting = [0]
    while waiting:
        at = waiting.pop()
        state = before[at]
        assert state is not None
        node = nodes[at]
        if node.micro is not None:
            state = _set(state, node.micro.effects, index)
            for fact in (*node.micro.either, *node.micro.unknown):
                state = (state[0] | 1 << index[fact], state[1] | 1 << index[fact]) if fact in index else state
        if node.kind in (Kind.STOP, Kind.END):
            continue
        nexts = (
            [node.lanes[0]]
            if node.kind == Kind.FORK and node.lanes
            else [after_lane[at]]
            if node.kind == Kind.LANE
            else node.nexts
        )
        for way, target in enumerate(nexts):
            here = state
            if node.kind == Kind.RESULT:
                here = _set(state, node.accepted if way == 0 else node.rejected, index)
            known = before[target]
            met = here if known is None else (known[0] | here[0], known[1] | here[1])
            if met != known:
                before[target] = met
                if target < len(nodes):
                    waiting.append(target)
    return before[: len(nodes)]


def _lane_ends(program: Program) -> dict[int, int]:
    """Each lane's last node to where the next lane starts, or to what follows all of them; inner forks come last."""
    ends: dict[int, int] = {}
    for node in program.nodes:
        if node.kind == Kind.FORK:
            borders = [*node.lanes, node.nexts[0]]
            for start, stop in pairwise(borders):
                ends |= {at: stop for at in range(start, stop) if program.nodes[at].kind == Kind.LANE}
    return ends


def _set(state: Facts, literals: tuple[tuple[str, bool], ...], index: dict[str, int]) -> Facts:
    one, none = state
    for fact, value in literals:
        if fact in index:
            bit = 1 << index[fact]
            one, none = (one | bit, none & ~bit) if value else (one & ~bit, none | bit)
    return one, none


# ---- in words ------------------------------------------------------------------------------------------------------
def lines(job: Job, standing: Standing | None) -> tuple[tuple[str, Prose], ...]:
    """The state as pairs of head and text, for a where-we-are page; only what differs from service, and the proofs."""
    if standing is None:
        return ()
    machine, names, labels = job.machine, job.names, job.labels
    items = tuple(machine.items)
    out: list[tuple[str, Prose]] = []

    def add(head: str, found: tuple[tuple[str, ...], tuple[str, ...]], none: str = labels.none) -> None:
        sure, perhaps = (tuple(said(n) for n in group) for group in found)
        text = joined(sure)
        if perhaps:
            text += f"{'; ' if text else ''}{labels.perhaps.format(things=joined(perhaps))}"
        if text or none:
            out.append((head, upper_first(text or none) + "."))

    def said(name: str) -> str:
        if name in spares and name not in locked:
            return f"{names.plain(name)}{_tag(job, name)} {position('open', name, names)}"
        if machine.kind(name) in ("isolator", "valve"):
            return f"{names.plain(name)}{_tag(job, name)} {position('isolate', name, names)}"
        return f"{names.plain(name)}{_tag(job, name)}"

    valves = tuple(n for n in items if machine.kind(n) in ("isolator", "valve"))
    # shut in service, as the valve of a spare: what differs from service is that it stands open
    spares = frozenset(n for n in valves if machine.away(n) == machine.home(n) == "shut")
    solids = tuple(n for n, i in machine.solids.items() if i.kind != "temporary")
    temporary = machine.kinds("temporary")
    out_sure = tuple(n for n in solids if f"in {n}" in standing.never)
    out_perhaps = tuple(n for n in solids if f"in {n}" in standing.perhaps)
    locked = {n for group in standing.names("locked", valves) for n in group}
    add(labels.locks_on, standing.names("locked", valves))
    loose = tuple(n for n in valves if n not in locked and n not in spares)
    sure, perhaps = standing.names("set", loose)
    opened = tuple(n for n in valves if n in spares and f"set {n}" in standing.never)
    add(labels.set_unlocked, (sure + opened, perhaps), "")
    open_spaces = {
        group: tuple(s for s in machine.kinds("pressure-space") if set(machine.boundary.get(s, ())) & set(parts))
        for group, parts in (("sure", out_sure), ("perhaps", out_perhaps))
    }
    add(
        labels.stands_open,
        (open_spaces["sure"], tuple(s for s in open_spaces["perhaps"] if s not in open_spaces["sure"])),
    )
    inner = set(machine.units)
    add(
        labels.out_of_machine,
        (tuple(n for n in out_sure if n not in inner), tuple(n for n in out_perhaps if n not in inner)),
        "",
    )
    off = standing.names("off", items)
    add(labels.bolts_off, off, "")
    add(labels.bolts_eased, standing.names("eased", items), "")
    add(labels.fitted_for_job, standing.names("in", temporary), "")
    add(labels.connected, standing.names("connected", items), "")
    energies = tuple(machine.energies)
    add(labels.proved, standing.names("proved", energies))
    return tuple(out)


def _tag(job: Job, name: str) -> str:
    tag = job.names.tag(name)
    return f" ({tag})" if tag else ""


def briefly(job: Job, standing: Standing | None) -> str:
    """What must be said at a stop, in a few sentences."""
    of = job.labels
    wanted = (of.locks_on, of.stands_open, of.out_of_machine, of.bolts_eased, of.fitted_for_job, of.connected)
    return " ".join(
        f"{head}: {str(text)[0].lower()}{str(text)[1:]}" for head, text in lines(job, standing) if head in wanted
    )
