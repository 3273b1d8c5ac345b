"""Branches, repeats and forks as regions that a search may pass in one move.

A region goes from the node that opens it to the join where all its ways meet (`build` lays one for each), and no other
way leads in or out. Where nothing in it matters to a search, it counts as one move at its least cost.

A check read again later would couple the ways through several regions. Where all its regions lie outside of others
every path passes them all, whatever else it does: the result that is cheapest up to a node is then cheapest for every
path to it, and what that costs above the least of each region alone is a sum that depends on the node only.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from procforge.analysis.program import Kind, Node, Program
from procforge.analysis.stride import Stride

#: The cost of a way that never arrives.
NEVER = 1 << 40
TOP = -1


@dataclass(slots=True)
class Region:
    """From `start` to its `join`; the cost of each way through, and the turns that lie in no region inside it."""

    start: int
    join: int
    outer: int
    costs: tuple[int, ...] = ()
    own: list[int] = field(default_factory=list)

    @property
    def least(self) -> int:
        """The cost of the cheapest way."""
        return min(self.costs, default=NEVER)


@dataclass(frozen=True, slots=True)
class Lasting:
    """One giving of a result and its readings up to the next: their regions, and the costs up to each.

    `sums` are those if it is accepted, if it is rejected, and if each region is passed the cheapest way.
    """

    starts: tuple[int, ...]
    joins: tuple[int, ...]
    sums: tuple[tuple[int, int, int], ...]

    def at(self, node: int) -> tuple[int, int, int]:
        """How many of the regions lie before a node, the cheaper result there, what it costs above the least of each."""
        count = bisect_left(self.joins, node)
        if not count:
            return 0, 0, 0
        accepted, rejected, least = self.sums[count - 1]
        return count, int(rejected < accepted), min(accepted, rejected) - least


class Regions:
    """The regions of a program, with the costs along each straight run of nodes and regions."""

    def __init__(self, program: Program) -> None:
        self.nodes = program.nodes
        rounds = {node.loop: n for n, node in enumerate(self.nodes) if node.kind == Kind.ROUND}
        self.at: dict[int, Region] = {}
        self.joins: dict[int, Region] = {}
        self.outer = [TOP] * len(self.nodes)
        self.own: dict[int, list[int]] = {TOP: []}
        self._onward: list[int] = [0] * len(self.nodes)
        self._strides = [Stride(n) for n in range(len(self.nodes))]
        self._through: dict[tuple[int, int], tuple[Stride, ...]] = {}
        self.results: dict[str, list[int]] = {}
        self.loops: dict[int, list[int]] = {}
        for n, node in enumerate(self.nodes):
            if node.kind in (Kind.RESULT, Kind.READ):
                self.results.setdefault(node.check, []).append(n)
            elif node.kind in (Kind.ENTER, Kind.ROUND):
                self.loops.setdefault(node.loop, []).append(n)
        self._nest(rounds)
        self._starts = sorted(self.at)
        for start in reversed(self._starts):
            self._cost(self.at[start])
        self.costs = self._along()
        self.lasting = list(self._lasting())

    # ---- what lies in what -----------------------------------------------------------------------
    def _nest(self, rounds: Mapping[int, int]) -> None:
        open_: list[Region] = []
        for n, node in enumerate(self.nodes):
            while open_ and open_[-1].join < n:
                open_.pop()
            outer = self.outer[n] = open_[-1].start if open_ else TOP
            if node.kind == Kind.OP and node.nexts[0] == n + 1:
                continue
            join = self._join(n, node, rounds)
            if join < 0:
                self.own.setdefault(outer, []).append(n)
            else:
                region = self.at[n] = self.joins[join] = Region(n, join, outer)
                open_.append(region)

    def _join(self, start: int, node: Node, rounds: Mapping[int, int]) -> int:
        """Where all ways from a node meet; -1 if it opens no region."""
        if node.kind in (Kind.OP, Kind.ROUND, Kind.LANE, Kind.STOP, Kind.END):
            return -1
        beyond = max(node.nexts)
        if node.kind == Kind.ENTER:
            beyond = max(beyond, rounds[node.loop] + 1)
        n = start + 1
        while n < beyond:
            for target in self.nodes[n].nexts:
                if target <= start:  # a round goes back to it or past it
                    return -1
                beyond = max(beyond, target)
            n += 1
        return beyond

    # ---- costs -----------------------------------------------------------------------------------
    def _cost(self, region: Region) -> None:
        """The costs of a region whose inner regions have theirs."""
        node = self.nodes[region.start]
        least: dict[int, int] = {region.join: 0}
        if node.kind == Kind.FORK:
            ends = [*(s - 1 for s in node.lanes[1:]), region.join - 1]
            for end in ends:
                least[end] = 0
        n = region.join - 1
        while n > region.start:
            inner = self.joins.get(n)
            if inner is not None:
                n = inner.start
                least[n] = min(inner.least + least[inner.join + 1], NEVER)
            elif n not in least:
                cost, way = self._least(n, least)
                least[n] = min(cost, NEVER)
                self._onward[n] = way
            n -= 1
        if node.kind == Kind.FORK:
            region.costs = (min(node.cost + sum(least[s] for s in node.lanes), NEVER),)
        else:
            region.costs = tuple(min(node.cost + least.get(t, NEVER), NEVER) for t in node.nexts)

    def _least(self, n: int, least: Mapping[int, int]) -> tuple[int, int]:
        node = self.nodes[n]
        ways = [(least[t], way) for way, t in enumerate(node.nexts) if t > n and t in least]
        if node.kind == Kind.ROUND and not node.bound:
            ways = []  # without a bound a rejection always leads to another round
        cost, way = min(ways, default=(NEVER, 0))
        return node.cost + cost, way

    def _along(self) -> list[int]:
        """Costs of what lies before each node; only differences along one straight run mean something."""
        found = [0]
        for n, node in enumerate(self.nodes):
            region = self.joins.get(n)
            found.append(found[-1] + node.cost if region is None else found[region.start] + region.least)
        return found

    def _lasting(self) -> Iterable[Lasting]:
        for places in self.results.values():
            if any(n not in self.at or self.outer[n] != TOP for n in places):
                continue
            given = [k for k, n in enumerate(places) if self.nodes[n].kind == Kind.RESULT]
            for first, last in pairwise([*given, len(places)]):
                if last - first > 1:
                    yield self._group(places[first:last])

    def _group(self, regions: list[int]) -> Lasting:
        sums, accepted, rejected, least = [], 0, 0, 0
        for n in regions:
            region = self.at[n]
            accepted, rejected, least = accepted + region.costs[0], rejected + region.costs[1], least + region.least
            sums.append((accepted, rejected, least))
        return Lasting(tuple(regions), tuple(self.at[n].join for n in regions), tuple(sums))

    # ---- what matters ----------------------------------------------------------------------------
    def relevant(self, nodes: Iterable[int]) -> tuple[set[int], set[int]]:
        """The regions that hold some nodes, by their starts, and all places where a search must halt for these."""
        halts = set(nodes)
        found: set[int] = set()
        for n in list(halts):
            start = n if n in self.at else self.outer[n]
            while start != TOP and start not in found:
                found.add(start)
                halts.update((start, self.at[start].join), self.own.get(start, ()))
                start = self.outer[start]
        halts.update(self.own[TOP])
        return found, halts

    # ---- paths -----------------------------------------------------------------------------------
    def run(self, first: int, last: int, ways: Mapping[int, int]) -> list[Stride]:
        """The nodes passed on a straight run, through the regions on it the cheapest way or by `ways`."""
        found: list[Stride] = []
        n = first
        while n < last:
            place = bisect_left(self._starts, n)
            start = self._starts[place] if place < len(self._starts) else last
            if start >= last:
                return found + self._strides[n:last]
            found += self._strides[n:start]
            found += self._passed(self.at[start], ways.get(start, -1))
            n = self.at[start].join + 1
        return found

    def _passed(self, region: Region, way: int) -> tuple[Stride, ...]:
        """All nodes from a region's start to its join."""
        key = (region.start, way)
        if key not in self._through:
            node = self.nodes[region.start]
            found: list[Stride] = []
            if node.kind == Kind.FORK:
                found.append(self._strides[region.start])
                for start, end in zip(node.lanes, [*(s - 1 for s in node.lanes[1:]), region.join - 1], strict=True):
                    found += self._inside(start, end)
            else:
                chosen = region.costs.index(region.least) if way < 0 else way
                found.append(Stride(region.start, chosen))
                found += self._inside(node.nexts[chosen], region.join)
            self._through[key] = (*found, self._strides[region.join])
        return self._through[key]

    def _inside(self, n: int, end: int) -> list[Stride]:
        found: list[Stride] = []
        while n != end:
            region = self.at.get(n)
            if region is not None:
                found += self._passed(region, -1)
                n = region.join + 1
            else:
                way = self._onward[n]
                found.append(Stride(n, way))
                n = self.nodes[n].nexts[way]
        return found
