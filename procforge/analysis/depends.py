"""Dependencies: which unit of work must follow which, and what that rests on.

B follows A if (a) A may be the last to establish a fact B needs, over all paths: `needs`, or `one-of` where several
may; (b) A needs a fact B undoes: `undoes`; (c) both set the same fact: `sets` where to different values, `repeats`
where to the same. Holds, waits, handovers and stops stand between what is before and after them in their block:
`guards`. What hangs on an answer or a result needs it.

All but `repeats` bind. That they suffice: let R need f = v, and let W be the last to set f before R on a path. In
any order that keeps (a), (b) and (c) for different values, W stays before R; who sets f otherwise stays before W if
it was before W, and after R if it was after R. So R still finds f = v, and the last to set f still sets what it
did. Two that set f to the same value may change places, which is what lets work run side by side.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from procforge.analysis.build import build_program
from procforge.analysis.machine import Machine
from procforge.analysis.order_ledger import START, Relation
from procforge.analysis.order_walk import ANSWER, BARRIER, Block, Unit, Walker
from procforge.model.procedure import Group, Procedure

__all__ = ["ANSWER", "BARRIER", "Block", "Dependencies", "Edge", "Relation", "Unit", "dependencies"]

#: Where two relations hold between the same units, the first of these says why.
RANK = tuple(Relation)


@dataclass(frozen=True, slots=True)
class Edge:
    """Unit `target` follows unit `source`; `facts` are what it rests on, as `proved cylinder`."""

    source: int
    target: int
    relation: Relation
    facts: tuple[str, ...]


@dataclass(frozen=True)
class Dependencies:
    """The units of one variant's work in written order and the arcs between them.

    `arcs` run between units (from 0) and knots (below START), which stand for all that leads into them; every arc
    runs from an earlier unit to a later one. `edges` are the same between units only.
    """

    units: tuple[Unit, ...]
    blocks: tuple[Block, ...]
    arcs: tuple[tuple[int, int, Relation, tuple[str, ...]], ...]

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """Every pair of units with a relation, by target, source and relation."""
        into: dict[int, list[tuple[int, Relation]]] = {}
        for source, target, relation, _ in self.arcs:
            if target < START:
                into.setdefault(target, []).append((source, relation))
        found: dict[tuple[int, int, Relation], dict[str, None]] = {}
        for source, target, relation, facts in self.arcs:
            if target >= 0:
                for unit, why in _units_behind(source, relation, into):
                    if unit != target:
                        found.setdefault((target, unit, why), {}).update(dict.fromkeys(facts))
        ordered = sorted(found, key=lambda k: (k[0], k[1], RANK.index(k[2])))
        return tuple(Edge(source, target, why, tuple(found[target, source, why])) for target, source, why in ordered)

    @cached_property
    def binding(self) -> tuple[Edge, ...]:
        """The edges whose order counts, one a pair of units: the gravest relation, with its facts."""
        best: dict[tuple[int, int], Edge] = {}
        for edge in self.edges:
            if edge.relation != Relation.REPEATS:
                best.setdefault((edge.source, edge.target), edge)
        return tuple(best.values())

    @cached_property
    def before(self) -> tuple[int, ...]:
        """For each unit the units that must come before it, as a set of bits."""
        return closure(len(self.units), ((s, t) for s, t, r, _ in self.arcs if r != Relation.REPEATS))

    def independent(self, one: int, other: int) -> bool:
        """Whether neither of two units must follow the other, directly or through others."""
        return one != other and not (self.before[one] >> other & 1 or self.before[other] >> one & 1)

    def may_run_side_by_side(self, one: int, other: int) -> bool:
        """Whether two units can be done at the same time as far as the machine goes: on one path, and independent.

        Who does them, with what and where is for the schedule to say.
        """
        return self.independent(one, other) and not self._apart(one, other)

    def _apart(self, one: int, other: int) -> bool:
        """Whether two units stand in different arms of one decision, so that no path has both."""
        holders = {id(self.blocks[b].holder): b for b in self._chain(one)}
        for block in self._chain(other):
            holder = self.blocks[block].holder
            if holder is not None and holders.get(id(holder), block) != block:
                return not (isinstance(holder, Group) and holder.form in ("any-order", "together"))
        return False

    def _chain(self, unit: int) -> list[int]:
        block, found = self.units[unit].block, []
        while block >= 0:
            found.append(block)
            block = self.blocks[block].inside
        return found

    def reduced(self) -> tuple[Edge, ...]:
        """The binding edges without those that a longer way implies.

        A `one-of` says a choice, so it stays unless a unit on the way already shows the same choice.
        """
        return reduced(len(self.units), self.binding)


def dependencies(procedure: Procedure, machine: Machine) -> Dependencies:
    """What must follow what in the work of one variant."""
    walker = Walker(build_program(procedure, machine))
    units = walker.run(procedure.body)
    arcs = sorted((s, t, r, tuple(facts)) for (s, t, r), facts in walker.ledger.arcs.items())
    return Dependencies(units, tuple(walker.blocks), tuple(arcs))


def reduced(count: int, edges: Iterable[Edge]) -> tuple[Edge, ...]:
    """The transitive reduction of edges that run from lower to higher numbers; see `Dependencies.reduced`."""
    listed = tuple(edges)
    before = closure(count, ((e.source, e.target) for e in listed))
    implied = [0] * count
    choices: dict[tuple[int, str], int] = {}
    for edge in listed:
        implied[edge.target] |= before[edge.source]
        if edge.relation == Relation.ONE_OF:
            for fact in edge.facts:
                choices[edge.source, fact] = choices.get((edge.source, fact), 0) | 1 << edge.target

    def stays(edge: Edge) -> bool:
        if not implied[edge.target] >> edge.source & 1:
            return True
        if edge.relation != Relation.ONE_OF:
            return False
        return any(not choices[edge.source, fact] & before[edge.target] for fact in edge.facts)

    return tuple(edge for edge in listed if stays(edge))


def closure(count: int, arcs: Iterable[tuple[int, int]]) -> tuple[int, ...]:
    """For each of `count` units the units before it, as bits; knots are followed, and count as nothing."""
    into: dict[int, list[int]] = {}
    for source, target in arcs:
        into.setdefault(target, []).append(source)
    found: dict[int, int] = {}

    def ahead(node: int) -> int:
        bits = 0
        for source in into.get(node, ()):
            if source >= 0:
                bits |= found[source] | 1 << source
            else:
                if source not in found:
                    found[source] = ahead(source)
                bits |= found[source]
        return bits

    for unit in range(count):
        found[unit] = ahead(unit)
    return tuple(found[unit] for unit in range(count))


def _units_behind(
    source: int, relation: Relation, into: dict[int, list[tuple[int, Relation]]]
) -> list[tuple[int, Relation]]:
    """The units an arc stands for, each with its relation: itself, or all that lead into the knot it comes from."""
    if source >= 0:
        return [(source, relation)]
    found: list[tuple[int, Relation]] = []
    for inner, why in into.get(source, ()):
        through = relation if relation in (Relation.ONE_OF, Relation.REPEATS) else why
        found += _units_behind(inner, through, into)
    return found
