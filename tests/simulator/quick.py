"""Whether anything at all fails: one search over all facts at once, which stops at the first need that does.

Exact: until some need has failed no rule has gone on as if one had been met, so all rules see the same facts.
"""

from __future__ import annotations

from simulator.program import Demand, Halt, Micro, flat
from simulator.reader import Reader
from simulator.search import Control, Doing, Slice, State, TooMany, needs_met

ALL = "every rule"


def first_fault(reader: Reader, limit: int = 400_000) -> str:
    """The rule and place of some need that fails on some path; empty if none does."""
    control = Control(reader)
    doings: list[Doing] = [i for i in flat(reader.body) if isinstance(i, (Micro, Halt, Demand))]
    asked = [(doing, rule, formula) for doing in doings for rule, formula in doing.needs]
    seen = Slice(ALL, [Demand(("", "", ""), [(ALL, formula) for _, _, formula in asked])], reader.start)
    parts = {
        doing: Demand(doing.place, [(ALL, f) for f in dict.fromkeys(f for _, f in doing.needs)]) for doing in doings
    }
    index = {r: n for n, r in enumerate(reader.results)}
    todo: list[State] = [(control.first, seen.start, (None,) * len(index))]
    done: set[State] = set(todo)
    while todo:
        number, facts, results = todo.pop()
        for move, after in control.moves(number):
            last = results
            if move.guard is not None:
                known = results[index[move.guard[0]]]
                if known is not None and known is not move.guard[1]:
                    continue
            if move.gives is not None and move.gives[0] in index:
                n = index[move.gives[0]]
                last = (*results[:n], move.gives[1], *results[n + 1 :])
            now = [facts]
            if move.doing is not None:
                now, failed = needs_met(seen, facts, parts[move.doing])
                if failed or any(not formula for _, formula in move.doing.needs):
                    rule = next(r for r, f in move.doing.needs if not failed or f == failed[0])
                    return f"{rule} at {' '.join(move.doing.place)}"
            last = tuple(v if r in control.still_read[after] else None for r, v in zip(index, last, strict=True))
            for f in now:
                state = (after, seen.set(f, move), last)
                if state not in done:
                    done.add(state)
                    todo.append(state)
                    if len(done) > limit:
                        raise TooMany(f"more than {limit} states")
    return ""
