"""One rule's part of an automaton in bits: what networkx, clingo and z3 are given.

A state is a number: a bit for each fact the rule's needs read, then two for each result that is read (0 none yet,
1 accepted, 2 rejected). A failed need is a target of its own; the rule then goes on as if the need had been met.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

from deciders.automaton import Compiler, Edge
from deciders.meaning import Formula, Literal
from deciders.whole_jobs import WholeJob

#: Rule, line, words of the micro-step, formula as sets.
Key = tuple[str, int, str, frozenset[frozenset[Literal]]]
Masks = tuple[int, int]


@dataclass
class Link:
    """A way from a place to another, done whole: bits it asks, needs in order, bits it gives.

    `ways` of a need are the alternatives (bits that must be 1, bits that must be 0), `fails` the ways to miss it.
    """

    source: int
    target: int
    cost: int
    guard: list[Masks]
    needs: list[Need] = field(default_factory=list)
    ones: int = 0
    zeros: int = 0


@dataclass
class Need:
    """A need with the number of its target."""

    number: int
    ways: list[Masks]
    fails: list[Masks]
    ones: int
    zeros: int


class Product:
    """One rule of a compiled job."""

    def __init__(self, rule: str, compiled: Compiler | WholeJob) -> None:
        self.rule = rule
        edges = compiled.whole.edges
        facts = sorted({f for e in edges if e.op for r, way in e.op.needs if r == rule for alt in way for f, _ in alt})
        self.bit = {f: 1 << n for n, f in enumerate(facts)}
        self.result = {r: 1 << (len(facts) + 2 * n) for n, r in enumerate(sorted(compiled.read))}
        self.width = len(facts) + 2 * len(self.result)
        self.start = sum(b for f, b in self.bit.items() if f in compiled.rig.start)
        self.targets: list[Key] = []
        self.costs: list[int] = []
        self.nowhere = compiled.whole.places
        self.links = [self.link(e) for e in edges]

    def masks(self, literals: tuple[Literal, ...]) -> Masks:
        """The bits that must become, or be, 1 and 0; the last word on a fact counts."""
        last = {f: v for f, v in literals if f in self.bit}
        return sum(self.bit[f] for f, v in last.items() if v), sum(self.bit[f] for f, v in last.items() if not v)

    def link(self, e: Edge) -> Link:
        ones, zeros = self.masks((*(e.op.sets if e.op else ()), *e.sets))
        link = Link(e.source, self.nowhere if e.target is None else e.target, e.cost, self.guard(e), [], ones, zeros)
        if e.gives is not None and e.gives[0] in self.result:
            low = self.result[e.gives[0]]
            link.ones |= low if e.gives[1] else 2 * low
            link.zeros |= 2 * low if e.gives[1] else low
        for rule, formula in e.op.needs if e.op else ():
            if rule == self.rule and e.op is not None:
                key: Key = (rule, e.op.line, e.op.words, frozenset(frozenset(a) for a in formula))
                self.targets.append(key)
                self.costs.append(e.cost)
                link.needs.append(self.need(len(self.targets) - 1, formula))
        return link

    def guard(self, e: Edge) -> list[Masks]:
        """The result as asked, or none yet."""
        if e.guard is None:
            return [(0, 0)]
        low = self.result[e.guard[0]]
        return [(low, 2 * low) if e.guard[1] else (2 * low, low), (0, 3 * low)]

    def need(self, number: int, formula: Formula) -> Need:
        ways = [self.masks(a) for a in formula]
        fails = [self.masks(tuple((f, not v) for f, v in pick)) for pick in product(*formula)]
        # A pick that asks one fact to be both ways misses nothing.
        fails = [m for m, pick in zip(fails, product(*formula), strict=True) if len({(f, v) for f, v in pick}) == len({f for f, _ in pick})]  # fmt: skip
        return Need(number, ways, fails, *ways[0])


def rules_of(compiled: Compiler | WholeJob) -> list[str]:
    """Every rule the job asks."""
    return sorted({r for e in compiled.whole.edges if e.op for r, _ in e.op.needs})
