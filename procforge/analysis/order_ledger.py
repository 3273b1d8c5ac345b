"""Who set and who needs each fact so far: the bookkeeping from which dependencies come.

For one fact a `Trace` holds, for either value, the writers that may be the last to have set it (`set_by`), and the
readers and writers of that value which a later writer of the other value must follow (`held_by`). Traces never
change, so a branch starts from its parent's without a copy.

A set that grows past `MOST` is tied into one knot: an extra node after all its members. So every event costs a
bounded number of arcs, and the whole stays near linear however many steps need what many others undo.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

#: The state before the job; no unit.
START = -1
MOST = 16


class Relation(StrEnum):
    """Why the later of two units follows the earlier."""

    NEEDS = "needs"  # the later needs what the earlier alone may have established last
    ONE_OF = "one-of"  # the later needs what one of several may have established last
    UNDOES = "undoes"  # the later undoes what the earlier needs
    SETS = "sets"  # both set the same fact, to different values
    REPEATS = "repeats"  # both set the same fact to the same value: their order changes nothing
    GUARDS = "guards"  # a hold, stop or wait stands between them in their block


#: A member of a set: the node, and the relation in which a later writer stands to it.
Member = tuple[int, Relation]
Members = frozenset[Member]
NOBODY: Members = frozenset()


class Trace(NamedTuple):
    """One fact at one point of the walk; each pair is (for false, for true)."""

    set_by: tuple[Members, Members]
    held_by: tuple[Members, Members] = (NOBODY, NOBODY)


class State:
    """The traces at a point of the walk, over those of the state it started from."""

    __slots__ = ("_start", "above", "traces")

    def __init__(self, start: dict[str, bool], above: State | None = None) -> None:
        self._start = start
        self.above = above
        self.traces: dict[str, Trace] = {}

    def inner(self) -> State:
        """A state that starts from this one and leaves it as it is."""
        return State(self._start, self)

    def trace(self, fact: str) -> Trace:
        """The trace of a fact."""
        state: State | None = self
        while state is not None:
            if (found := state.traces.get(fact)) is not None:
                return found
            state = state.above
        before = frozenset({(START, Relation.SETS)})
        return Trace((NOBODY, before) if self._start.get(fact, False) else (before, NOBODY))

    def surely(self, fact: str, value: bool) -> bool:
        """Whether every writer that may have been the last set the fact to `value`."""
        set_by = self.trace(fact).set_by
        return bool(set_by[value]) and not set_by[not value]


class Ledger:
    """Takes down reads and writes in written order; `arcs` are what follows from them.

    Units are numbered from 0; knots have numbers below START. `arcs[source, target, relation]` holds the facts it
    rests on.
    """

    def __init__(self) -> None:
        self.arcs: dict[tuple[int, int, Relation], dict[str, None]] = {}
        self.knots = 0

    def arc(self, source: int, target: int, relation: Relation, fact: str) -> None:
        """The target follows the source because of a fact."""
        if source not in (target, START):
            self.arcs.setdefault((source, target, relation), {})[fact] = None

    def tied(self, members: Members, fact: str, unit: int = START) -> Members:
        """The members, as one knot if they are many; the start stays apart, and `unit`, which is not done yet."""
        if len(members) <= MOST:
            return members
        self.knots += 1
        knot = START - self.knots
        apart = {m for m in members if m[0] in (START, unit)}
        for node, relation in sorted(members - apart):
            self.arc(node, knot, relation, fact)
        return frozenset({(knot, Relation.SETS), *apart})

    # ---- events ------------------------------------------------------------------------------
    def read(self, state: State, unit: int, fact: str, value: bool) -> None:
        """The unit needs the fact to have the value."""
        trace = state.trace(fact)
        if not trace.set_by[value]:
            return  # never so here: a fault, or one way of several that is not the one taken
        self._established(unit, fact, trace.set_by[value])
        held = list(trace.held_by)
        held[value] = self.tied(held[value] | {(unit, Relation.UNDOES)}, fact, unit)
        state.traces[fact] = Trace(trace.set_by, (held[0], held[1]))

    def read_result(self, state: State, unit: int, fact: str) -> None:
        """The unit hangs on the fact, whatever its value."""
        trace = state.trace(fact)
        self._established(unit, fact, frozenset(m for m in trace.set_by[0] | trace.set_by[1] if m[0] != START))
        held = tuple(self.tied(h | {(unit, Relation.UNDOES)}, fact, unit) for h in trace.held_by)
        state.traces[fact] = Trace(trace.set_by, (held[0], held[1]))

    def _established(self, unit: int, fact: str, by: Members) -> None:
        alone = len({node for node, _ in by}) == 1 and all(node >= START for node, _ in by)
        for node, _ in by:
            self.arc(node, unit, Relation.NEEDS if alone else Relation.ONE_OF, fact)

    def write(self, state: State, unit: int, fact: str, value: bool) -> None:
        """The unit sets the fact to the value."""
        trace = state.trace(fact)
        flips = not trace.set_by[value]
        self._follow(unit, fact, trace.held_by[not value])
        for node, _ in trace.set_by[value]:
            self.arc(node, unit, Relation.REPEATS, fact)
        own: Member = (unit, Relation.SETS)
        # after a flip the earlier holders of this value stand before those of the other, which this unit follows
        earlier = NOBODY if flips else trace.held_by[value]
        held, by = list(trace.held_by), [NOBODY, NOBODY]
        held[value] = self.tied(earlier | {own}, fact, unit)
        by[value] = frozenset({own})
        state.traces[fact] = Trace((by[0], by[1]), (held[0], held[1]))

    def write_either(self, state: State, unit: int, fact: str) -> None:
        """The unit leaves the fact with a value that is not known beforehand."""
        trace = state.trace(fact)
        for members in trace.held_by:
            self._follow(unit, fact, members)
        own = frozenset({(unit, Relation.SETS)})
        held = tuple(self.tied(h | own, fact, unit) for h in trace.held_by)
        state.traces[fact] = Trace((own, own), (held[0], held[1]))

    def _follow(self, unit: int, fact: str, members: Members) -> None:
        for node, relation in members:
            self.arc(node, unit, relation, fact)

    # ---- joins -------------------------------------------------------------------------------
    def join(
        self, state: State, live: list[State], dead: Iterable[State] = (), lanes: bool = False, unit: int = START
    ) -> None:
        """Put into `state` what the branches that started from it leave; `dead` ones ended in a stop.

        `unit` is the one that all of this stands in, if it does.
        After `lanes` every branch was walked: what one of them surely set is not as it was before.
        """
        ended = tuple(dead)
        for fact in dict.fromkeys(f for branch in (*live, *ended) for f in branch.traces):
            before = state.trace(fact)
            wrote = [b for b in live if fact in b.traces and b.traces[fact].set_by != before.set_by]
            sets = [b.trace(fact).set_by for b in (wrote if lanes and wrote else live)]
            holds = [b.trace(fact).held_by for b in (*live, *ended)]
            by = [self.tied(frozenset().union(*(s[v] for s in sets)), fact, unit) for v in (0, 1)]
            held = [self.tied(frozenset().union(*(h[v] for h in holds)), fact, unit) for v in (0, 1)]
            state.traces[fact] = Trace((by[0], by[1]), (held[0], held[1]))
