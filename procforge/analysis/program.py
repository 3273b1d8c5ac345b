"""A procedure on one variant as a graph of micro-steps: what can be done after what.

Node ids grow with the written order; only a repeat goes back. `kind` says what a node does:

OP       one micro-step (or none: a step skipped in this variant), then `nexts[0]`
RESULT   the outcome of a check: accepted -> nexts[0], rejected -> nexts[1]; `accepted`/`rejected` effects
READ     a branch on a check's last result: accepted -> nexts[0], rejected -> nexts[1]
CHOICE   a question or a free choice: any of `nexts`
ENTER    the start of a repeat; ROUND  its end after a rejection: again -> nexts[0], out -> nexts[1]
FORK     several lanes, in any order or together; each lane ends in LANE, then `nexts[0]`
STOP     the path ends here; END  the end of the procedure

The ways from a branch, a repeat or a fork meet at an OP of their own that does nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import IntEnum
from functools import cached_property

from procforge.analysis.machine import Machine
from procforge.analysis.micro import Micro
from procforge.analysis.states import Literal
from procforge.model.procedure import AnyWork


class Kind(IntEnum):
    """What a node does; see the module's head."""

    OP = 0
    RESULT = 1
    READ = 2
    CHOICE = 3
    ENTER = 4
    ROUND = 5
    FORK = 6
    LANE = 7
    STOP = 8
    END = 9


@dataclass(slots=True)
class Node:
    """One point of the graph. `skipped`: written, but not for this variant. `cost` counts towards a path's length."""

    kind: Kind
    work: AnyWork | None = None
    micro: Micro | None = None
    check: str = ""
    nexts: list[int] = field(default_factory=list)
    labels: tuple[str, ...] = ()
    cost: int = 0
    skipped: bool = False
    accepted: tuple[Literal, ...] = ()
    rejected: tuple[Literal, ...] = ()
    loop: int = -1
    bound: int = 0
    lanes: tuple[int, ...] = ()
    together: bool = False


@dataclass
class Program:
    """The graph, from node 0, with the machine it acts on and the facts' values at the start."""

    machine: Machine
    nodes: list[Node]
    start: dict[str, bool]
    checks: tuple[str, ...] = ()

    def facts(self) -> set[str]:
        """All facts any node needs or sets."""
        found: set[str] = set()
        for micro in self._micros():
            found |= micro.mentions
        for node in self.nodes:
            if node.kind == Kind.RESULT:
                found.update(f for f, _ in (*node.accepted, *node.rejected))
        return found

    def written(self) -> set[str]:
        """Facts that some micro-step sets or leaves unknown."""
        found: set[str] = set()
        for micro in self._micros():
            found |= micro.writes
        for node in self.nodes:
            if node.kind == Kind.RESULT:
                found.update(f for f, _ in (*node.accepted, *node.rejected))
        return found

    def _micros(self) -> Iterable[Micro]:
        """Every micro-step, once."""
        return {id(node.micro): node.micro for node in self.nodes if node.micro is not None}.values()

    def own(self) -> set[str]:
        """Facts that mean nothing outside the procedure: its holds, its own facts and house rules."""
        return {f for f in self.facts() | self.written() if f.startswith(("released ", "made ", "done ", "allowed "))}

    @cached_property
    def touching(self) -> dict[str, list[int]]:
        """Fact to the nodes that need it or may change it, in order."""
        found: dict[str, list[int]] = {}
        memo: dict[int, frozenset[str]] = {}
        for number, node in enumerate(self.nodes):
            micro = node.micro
            facts: frozenset[str] = frozenset()
            if micro is not None:
                known = memo.get(id(micro))
                if known is None:
                    known = memo[id(micro)] = _mentioned(micro)
                facts = known
            if node.kind == Kind.RESULT:
                facts |= {f for f, _ in (*node.accepted, *node.rejected)}
            for fact in facts:
                found.setdefault(fact, []).append(number)
        return found


def _mentioned(micro: Micro) -> frozenset[str]:
    needs = (f for must in micro.needs for way in must.formula for f, _ in way)
    return frozenset((*needs, *(f for f, _ in micro.effects), *micro.unknown, *micro.either))
