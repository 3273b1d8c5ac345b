"""Walks the simulator along a counter-example that the validator gave."""

from __future__ import annotations

from simulator.control import Move
from simulator.program import Demand, Halt, Micro, Place, flat
from simulator.reader import Reader
from simulator.search import Control, Doing, Slice, State, needs_met

Event = tuple[str, ...]
Shape = frozenset[frozenset[tuple[str, bool]]]


class Replay:
    """One rule of a procedure in one variant, walked along given events."""

    def __init__(self, reader: Reader, control: Control, rule: str) -> None:
        self.control = control
        self.index = {r: n for n, r in enumerate(reader.results)}
        doings: list[Doing] = [i for i in flat(reader.body) if isinstance(i, (Micro, Halt, Demand))]
        self.seen = Slice(rule, doings, reader.start)
        self.first: State = (control.first, self.seen.start, (None,) * len(self.index))

    def after(self, state: State, move: Move, follows: int, failed: list[tuple[Place, Shape]]) -> list[State]:
        """The states after a move; needs that fail on the way are noted."""
        _, facts, results = state
        if move.guard is not None:
            known = results[self.index[move.guard[0]]]
            if known is not None and known is not move.guard[1]:
                return []
        if move.gives is not None and move.gives[0] in self.index:
            n = self.index[move.gives[0]]
            results = (*results[:n], move.gives[1], *results[n + 1 :])
        now = [facts]
        if move.doing is not None:
            now, formulas = needs_met(self.seen, facts, move.doing)
            failed += [(move.doing.place, frozenset(frozenset(a) for a in f)) for f in formulas]
        return [(follows, self.seen.set(f, move), results) for f in now]

    def quiet(self, states: set[State], failed: list[tuple[Place, Shape]]) -> set[State]:
        """All states reached by moves that cost nothing."""
        found, todo = set(states), list(states)
        while todo:
            state = todo.pop()
            for move, follows in self.control.moves(state[0]):
                if move.cost == 0:
                    fresh = [s for s in self.after(state, move, follows, failed) if s not in found]
                    found.update(fresh)
                    todo += fresh
        return found

    def fails(self, events: list[Event], place: Place, formula: Shape) -> str:
        """Empty if the events can be walked and the need fails at their end, else what went wrong."""
        failed: list[tuple[Place, Shape]] = []
        states = self.quiet({self.first}, failed)
        for event in events:
            failed = []
            onward: set[State] = set()
            for state in states:
                for move, follows in self.control.moves(state[0]):
                    if move.cost and move.event == event:
                        onward.update(self.after(state, move, follows, failed))
            if not onward:
                return f"the simulator cannot go on with {event}"
            states = self.quiet(onward, failed)
        return "" if (place, formula) in failed else f"nothing fails after {len(events)} events"
