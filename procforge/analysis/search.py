"""The exact search: the shortest feasible path on which a rule's need fails, or none.

The search is for one rule and the few facts its needs join (a cone). It starts with check results and
round counts ignored. A path so found that could not be walked (it takes a check once as accepted and
later as rejected, or leaves a repeat after the wrong number of rounds) names what was wrongly ignored;
that is tracked from then on and the search runs again. It ends with a walkable path, which is then the
shortest, for ignoring things only adds paths; or with none, which is a proof; or with its budget used up.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import chain

from procforge.analysis.micro import Micro, Must
from procforge.analysis.program import Kind, Node, Program
from procforge.analysis.regions import NEVER, Regions
from procforge.analysis.states import Literal
from procforge.analysis.stride import Stride, contradiction

#: A place in the graph: a node, or a fork with the places of its lanes and which one runs.
Pos = int | tuple[int, tuple["Pos | None", ...], int]
State = tuple[Pos, tuple[int, ...], tuple[int, ...], tuple[int, ...]]
#: The move before it, the node left (None: none) and the straight run of nodes after that, from and up to.
Move = tuple[int, "Stride | None", int, int]
UNKNOWN = 2


class BudgetSpent(Exception):
    """The search has used up its work units; `checks` are the results it had to tell apart, `found` what it found."""

    def __init__(self, checks: tuple[str, ...]) -> None:
        super().__init__()
        self.checks = checks
        self.found: list[Violation] = []


@dataclass(frozen=True, slots=True)
class Violation:
    """A need that fails: where, of which formula, how long the shortest way is and which way it goes."""

    rule: str
    must: Must
    node: int
    length: int
    path: tuple[Stride, ...]
    tracked: tuple[str, ...] = ()


@dataclass(slots=True)
class Budget:
    """Work units left, shared by all searches of a proof."""

    left: int = 3_000_000

    def spend(self, checks: tuple[str, ...], units: int = 1) -> None:
        """Some units; raises BudgetSpent at the end."""
        self.left -= units
        if self.left < 0:
            raise BudgetSpent(checks)


@dataclass(slots=True)
class _View:
    """A micro-step as the cone sees it."""

    needs: tuple[tuple[Must, tuple[tuple[tuple[int, int], ...], ...]], ...]
    effects: tuple[tuple[int, int], ...]
    either: tuple[int, ...]


@dataclass
class Search:
    """All violations of one rule on one cone of facts, each with its shortest path."""

    program: Program
    rule: str
    facts: tuple[str, ...]
    budget: Budget
    regions: Regions
    tracked_checks: list[str] = field(default_factory=list)
    tracked_loops: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._index = {f: i for i, f in enumerate(self.facts)}
        self._views: dict[int, _View | None] = {}
        self._relevant: dict[tuple[int, int], bool] = {}
        self._back: dict[tuple[int, int], bool] = {}
        touched = {n for f in self.facts for n in self.program.touching.get(f, ())}
        if not self.facts:  # a need without facts fails at each node that has it
            touched = {i for i, n in enumerate(self.program.nodes) if n.micro and self._never(n.micro)}
        self._touched_nodes = touched
        self._look_again()

    def _look_again(self) -> None:
        """Halt where the cone is touched and where what is tracked is given, read or counted; pass the rest by."""
        self._relevant.clear()
        regions = self.regions
        tracked = [n for check in self.tracked_checks for n in regions.results.get(check, ())]
        tracked += [n for loop in self.tracked_loops for n in regions.loops[loop]]
        entered, halts = regions.relevant({*self._touched_nodes, *tracked})
        self._halts = sorted(halts)
        self._passed_by = [group for group in regions.lasting if entered.isdisjoint(group.starts)]

    def _never(self, micro: Micro) -> bool:
        return any(must.rule == self.rule and not must.formula for must in micro.needs)

    def _on(self, target: int) -> int:
        """The next node from here that matters to the cone or that is more than going on."""
        return self._halts[bisect_left(self._halts, target)]

    # ---- the loop over what must be tracked --------------------------------------------------
    def run(self) -> list[Violation]:
        """The violations, in order of their nodes; raises BudgetSpent."""
        settled: dict[tuple[int, Must], Violation] = {}
        while True:
            try:
                missing = self._round(settled)
            except BudgetSpent as spent:
                spent.found = [settled[k] for k in sorted(settled, key=lambda k: k[0])]
                raise
            if missing is None:
                return [settled[k] for k in sorted(settled, key=lambda k: k[0])]
            kind, name = missing
            if kind == "check":
                self.tracked_checks.append(str(name))
            else:
                self.tracked_loops.append(int(name))
            self._look_again()

    def _round(self, settled: dict[tuple[int, Must], Violation]) -> tuple[str, str | int] | None:
        """One search; the first thing a found path shows to have been wrongly ignored, or None if all paths hold."""
        best: dict[State, int] = {}  # the least cost a state was reached at
        seen: set[State] = set()
        order: list[Move] = []
        costs = self.regions.costs
        start: State = (
            0,
            tuple(int(self.program.start.get(f, False)) for f in self.facts),
            (0,) * len(self.tracked_checks),
            (0,) * len(self.tracked_loops),
        )
        heap: list[tuple[int, int, State, int]] = [(0, 0, start, -1)]
        count = 0
        found: dict[tuple[int, Must], Violation] = {}
        walkable: set[tuple[int, Must]] = set()
        missing: tuple[str, str | int] | None = None
        checks = tuple(self.tracked_checks)
        try:
            while heap:
                cost, _, state, parent = heappop(heap)
                if state in seen:
                    continue
                seen.add(state)
                pos, values, results, counts = state
                for n, rebuild in self._leaves(pos):
                    onward = self._on(n)
                    if onward != n:  # in a lane what does not matter is a move of its own: others may come before it
                        self.budget.spend(checks)
                        reached = cost + costs[onward] - costs[n]
                        if reached >= NEVER:
                            continue
                        then = (rebuild(onward), values, results, counts)
                        if best.get(then, reached + 1) > reached:
                            best[then] = reached
                            order.append((parent, None, n, onward))
                            count += 1
                            heappush(heap, (reached, count, then, len(order) - 1))
                        continue
                    node = self.program.nodes[n]
                    view = self._view(node.micro) if n in self._touched_nodes else None
                    branches = [values]
                    if view is not None:
                        now = values
                        for must, formula in view.needs:
                            if not any(all(now[i] == v or now[i] == UNKNOWN for i, v in way) for way in formula):
                                key = (n, must)
                                if key not in settled and key not in found:
                                    above, ways = self._lasting_ways(n)
                                    if above < NEVER // 2:  # above a sum that never arrives either
                                        path = self._path(order, parent, Stride(n), ways)
                                        length = cost + node.cost + above
                                        found[key] = Violation(self.rule, must, n, length, path, checks)
                                        wrong = contradiction(self.program.nodes, path)
                                        walkable |= set() if wrong else {key}
                                        missing = missing or wrong
                                if formula:
                                    now = _with(now, formula[0])
                        branches = [_with(now, view.effects)]
                        for i in view.either:
                            self.budget.spend(checks, len(branches))
                            branches = [_with(b, ((i, v),)) for b in branches for v in (0, 1)]
                    for way, target, more_results, more_counts, literals in self._ways(n, node, results, counts):
                        place, reached, first, last = rebuild(target), cost + node.cost, 0, 0
                        if isinstance(place, int):  # no other lane is about: straight on to what matters
                            first, last = place, self._on(place)
                            reached += costs[last] - costs[first]
                            place = last
                            if reached >= NEVER:
                                continue
                        here = -1
                        self.budget.spend(checks)
                        for after in branches:
                            if literals:
                                after = _with(after, literals)
                            then = (place, after, more_results, more_counts)
                            if best.get(then, reached + 1) <= reached:
                                continue
                            best[then] = reached
                            if here < 0:
                                here = len(order)
                                order.append((parent, Stride(n, way), first, last))
                            count += 1
                            heappush(heap, (reached, count, then, here))
                if missing is not None:
                    # paths that hold are kept; the rest is searched again with what was missing
                    break
        finally:  # what is found holds, whether or not the budget lasts to the end
            for key, violation in found.items():
                if key in walkable:
                    settled[key] = violation
        return missing

    # ---- the graph ---------------------------------------------------------------------------
    def _leaves(self, pos: Pos) -> Iterator[tuple[int, Callable[[Pos], Pos]]]:
        """The nodes that may run next, each with how the place changes when it has moved on."""
        if isinstance(pos, int):
            yield pos, _same
            return
        fork, lanes, active = pos
        node = self.program.nodes[fork]
        waiting = [i for i, p in enumerate(lanes) if p is not None]
        if not node.together and active >= 0:
            candidates = [active]
        else:
            ends = [*node.lanes[1:], node.nexts[0]]
            candidates = [i for i in waiting if self._matters(node.lanes[i], lanes[i], ends[i])] or waiting[:1]
        for i in candidates:
            inner = lanes[i]
            assert inner is not None
            for n, rebuild in self._leaves(inner):
                yield n, self._in_lane(fork, lanes, i, rebuild)

    def _in_lane(
        self, fork: int, lanes: tuple[Pos | None, ...], lane: int, rebuild: Callable[[Pos], Pos]
    ) -> Callable[[Pos], Pos]:
        node = self.program.nodes[fork]

        def made(target: Pos) -> Pos:
            inner = rebuild(target)
            done = isinstance(inner, int) and self.program.nodes[inner].kind == Kind.LANE
            after = (*lanes[:lane], None if done else inner, *lanes[lane + 1 :])
            if all(p is None for p in after):
                return node.nexts[0]
            return fork, after, -1 if done or node.together else lane

        return made

    def _ways(
        self, n: int, node: Node, results: tuple[int, ...], counts: tuple[int, ...]
    ) -> Iterator[tuple[int, Pos, tuple[int, ...], tuple[int, ...], tuple[tuple[int, int], ...]]]:
        """The ways on from a node: which, to where, results and counts after it, outcome effects on the cone."""
        kind = node.kind
        if kind == Kind.OP:
            yield 0, node.nexts[0], results, counts, ()
        elif kind == Kind.RESULT:
            slot = self.tracked_checks.index(node.check) if node.check in self.tracked_checks else -1
            for way, literals in enumerate((node.accepted, node.rejected)):
                after = results if slot < 0 else (*results[:slot], way + 1, *results[slot + 1 :])
                yield way, node.nexts[way], after, counts, self._project(literals)
        elif kind == Kind.READ:
            known = results[self.tracked_checks.index(node.check)] if node.check in self.tracked_checks else 0
            for way in (0, 1):
                if known in (0, way + 1):
                    yield way, node.nexts[way], results, counts, ()
        elif kind == Kind.CHOICE:
            for way, target in enumerate(node.nexts):
                yield way, target, results, counts, ()
        elif kind == Kind.ENTER:
            yield 0, node.nexts[0], results, self._counted(node.loop, counts, 1), ()
        elif kind == Kind.ROUND:
            yield from self._round_ways(node, results, counts)
        elif kind == Kind.FORK:
            lanes = tuple(None if self.program.nodes[s].kind == Kind.LANE else s for s in node.lanes)
            yield 0, (n, lanes, -1) if any(p is not None for p in lanes) else node.nexts[0], results, counts, ()

    def _round_ways(
        self, node: Node, results: tuple[int, ...], counts: tuple[int, ...]
    ) -> Iterator[tuple[int, Pos, tuple[int, ...], tuple[int, ...], tuple[tuple[int, int], ...]]]:
        if not node.bound:  # no bound, nothing to count: a rejection always leads to another round
            yield 0, node.nexts[0], results, counts, ()
            return
        tracked = node.loop in self.tracked_loops
        done = counts[self.tracked_loops.index(node.loop)] if tracked else 0
        if node.bound != 1 and (not tracked or done < node.bound):
            yield 0, node.nexts[0], results, self._counted(node.loop, counts, done + 1), ()
        if not tracked or done >= node.bound:
            yield 1, node.nexts[1], results, counts, ()

    def _counted(self, loop: int, counts: tuple[int, ...], value: int) -> tuple[int, ...]:
        if loop not in self.tracked_loops:
            return counts
        slot = self.tracked_loops.index(loop)
        return (*counts[:slot], value, *counts[slot + 1 :])

    # ---- the cone ----------------------------------------------------------------------------
    def _view(self, micro: Micro | None) -> _View | None:
        if micro is None:
            return None
        key = id(micro)
        if key not in self._views:
            needs = []
            for must in micro.needs:
                mine = must.rule == self.rule and all(f in self._index for way in must.formula for f, _ in way)
                if mine and (must.formula or not self.facts):
                    needs.append((must, tuple(tuple((self._index[f], int(v)) for f, v in way) for way in must.formula)))
            effects = dict(self._project(micro.effects))
            effects |= {self._index[f]: UNKNOWN for f in micro.unknown if f in self._index}
            either = tuple(self._index[f] for f in sorted(micro.either) if f in self._index)
            made = _View(tuple(needs), tuple(effects.items()), either)
            self._views[key] = made if needs or effects or either else None
        return self._views[key]

    def _project(self, literals: tuple[Literal, ...]) -> tuple[tuple[int, int], ...]:
        return tuple((self._index[f], int(v)) for f, v in literals if f in self._index)

    def _matters(self, start: int, place: Pos | None, stop: int) -> bool:
        """Whether what is left of a lane does anything that is looked for; what does not is left to the last."""
        if not isinstance(place, int):
            return True
        if (place, stop) not in self._back:
            self._back[place, stop] = any(node.kind == Kind.ROUND for node in self.program.nodes[place:stop])
        return self._touches(start if self._back[place, stop] else place, stop)

    def _touches(self, start: int, stop: int) -> bool:
        """Whether a lane does anything to the cone or to what is tracked."""
        key = (start, stop)
        if key not in self._relevant:
            self._relevant[key] = any(self._touched(self.program.nodes[i]) for i in range(start, stop))
        return self._relevant[key]

    def _touched(self, node: Node) -> bool:
        if node.kind == Kind.STOP or self._view(node.micro) is not None:
            return True
        if node.kind in (Kind.RESULT, Kind.READ) and node.check in self.tracked_checks:
            return True
        return bool(self._project(node.accepted) or self._project(node.rejected))

    # ---- paths -------------------------------------------------------------------------------
    def _lasting_ways(self, n: int) -> tuple[int, dict[int, int]]:
        """The results of checks passed by on the way to a node: what they cost more, which way they go."""
        above = 0
        ways: dict[int, int] = {}
        for group in self._passed_by:
            count, way, more = group.at(n)
            above += more
            ways.update((start, way) for start in group.starts[:count])
        return above, ways

    def _path(self, order: list[Move], parent: int, last: Stride, ways: dict[int, int]) -> tuple[Stride, ...]:
        """Every node passed, those that only go on included."""
        parts = [[last]]
        while parent >= 0:
            parent, stride, first, beyond = order[parent]
            parts.append(self.regions.run(first, beyond, ways))
            if stride is not None:
                parts.append([stride])
        return tuple(chain.from_iterable(reversed(parts)))


def _same(pos: Pos) -> Pos:
    return pos


def _with(values: tuple[int, ...], literals: tuple[tuple[int, int], ...]) -> tuple[int, ...]:
    if not literals:
        return values
    changed = list(values)
    for i, v in literals:
        changed[i] = v
    return tuple(changed)
