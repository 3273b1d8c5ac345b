"""Whole generated jobs on generated machines for the same three programs.

Here the places and moves are the simulator's own (`simulator.control`): only the deciding is another's. Jobs that leave
facts either way (calls, lines not read) are not said.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from simulator.control import Move
from simulator.program import Demand, Halt, Micro, flat
from simulator.reader import Reader
from simulator.search import Control, Found
from simulator.states import initially

from deciders.automaton import Automaton, TooLarge
from deciders.meaning import Op

MOST_PLACES = 3000
Key = tuple[str, int, str, frozenset[frozenset[tuple[str, bool]]]]


class WholeJob:
    """A job of the simulator in the shape the deciders take: `whole` edges, `rig.start` facts, `read` results."""

    def __init__(self, reader: Reader) -> None:
        self.control = Control(reader)
        self.places: list[tuple[str, str, str]] = []
        self.whole = Automaton()
        self.read = set(reader.results)
        every = [i for i in flat(reader.body) if isinstance(i, (Micro, Halt, Demand))]
        self.said = not any(isinstance(i, Micro) and (i.either or i.unknown) for i in every)
        facts = {f for i in every for _, formula in i.needs for a in formula for f, _ in a}
        self.rig: Any = SimpleNamespace(start={f for f in facts if initially(reader.start, f)})
        self._numbers: dict[tuple[str, str, str], int] = {}
        if self.said:
            self._walk()

    def _walk(self) -> None:
        done, todo = {self.control.first}, [self.control.first]
        while todo:
            here = todo.pop()
            for move, after in self.control.moves(here):
                op = self._op(move)
                self.whole.add(
                    here, after, op=op, guard=move.guard, gives=move.gives, sets=tuple(move.effects), cost=move.cost
                )
                if after not in done:
                    done.add(after)
                    todo.append(after)
                    if len(done) > MOST_PLACES:
                        raise TooLarge
        self.whole.places = len(self.control.terms)

    def _op(self, move: Move) -> Op | None:
        doing = move.doing
        if doing is None:
            return None
        number = self._numbers.setdefault(doing.place, len(self._numbers))
        if number == len(self.places):
            self.places.append(doing.place)
        needs = tuple(dict.fromkeys(n for n in doing.needs if n[1]))
        sets = tuple(doing.effects) if isinstance(doing, Micro) else ()
        return Op(number, doing.place[2], needs, sets, move.cost)

    def found(self, lengths: dict[Key, int]) -> Found:
        """Lengths by the simulator's own keys."""
        return {(rule, self.places[line], formula): n for (rule, line, _, formula), n in lengths.items()}
