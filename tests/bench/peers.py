"""The shortest counter-example by z3 and by clingo: the same graph, one fault, the facts of that fault alone.

Straight runs without a need or an effect on these facts are one edge each, as they are for us; jobs have no repeats and
no lanes here. z3 gets the path as choices with the facts and the cost as terms, and is asked for less until there is
none (`by_z3`), or minimises by itself (`by_z3_optimize`). clingo gets the path as a choice at each node, and minimises.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from procforge.analysis.program import Kind, Program
from procforge.analysis.search import Violation
from procforge.analysis.states import Literal


@dataclass
class Place:
    """A node that matters: what it does to the facts and where its ways lead, at what cost."""

    number: int
    effects: tuple[Literal, ...] = ()
    check: str = ""
    ways: list[tuple[int, int, tuple[Literal, ...]]] = field(default_factory=list)


class Question:
    """One fault of a program: can `node` be entered so that no way of its formula holds, and how soon?"""

    def __init__(self, program: Program, violation: Violation) -> None:
        self.program, self.node, self.formula = program, violation.node, violation.must.formula
        self.facts = sorted({f for way in self.formula for f, _ in way})
        self.start = {f: program.start.get(f, False) for f in self.facts}
        self.last = program.nodes[self.node].cost
        self.places = {p.number: p for p in self._places()}
        given = [n.check for n in program.nodes if n.kind == Kind.RESULT]
        assert len(given) == len(set(given)), "each check is given once"
        self.checks = sorted({n.check for n in program.nodes if n.kind == Kind.READ} & set(given))

    def _matters(self, n: int) -> bool:
        node = self.program.nodes[n]
        touched = node.micro is not None and any(f in self.start for f, _ in node.micro.effects)
        return n == self.node or touched or node.kind != Kind.OP

    def _places(self) -> Iterator[Place]:
        todo, seen = [0], {0}
        while todo:
            n = todo.pop()
            node = self.program.nodes[n]
            place = Place(n, self._mine(node.micro.effects if node.micro else ()))
            assert node.kind in (Kind.OP, Kind.RESULT, Kind.READ, Kind.CHOICE, Kind.STOP, Kind.END)
            place.check = node.check if node.kind in (Kind.RESULT, Kind.READ) else ""
            for way, target in enumerate(node.nexts if n != self.node else ()):
                cost = node.cost
                while not self._matters(target):
                    cost += self.program.nodes[target].cost
                    (target,) = self.program.nodes[target].nexts
                literals = (node.accepted, node.rejected)[way] if node.kind == Kind.RESULT else ()
                place.ways.append((target, cost, self._mine(literals)))
                if target not in seen:
                    seen.add(target)
                    todo.append(target)
            yield place

    def _mine(self, literals: tuple[Literal, ...]) -> tuple[Literal, ...]:
        return tuple((f, v) for f, v in literals if f in self.start)


def _z3_terms(question: Question) -> tuple[list[Any], Any, Any]:
    """Constraints, the cost at the node asked for, and that the need fails there."""
    import z3

    rules: list[Any] = []
    results = {c: z3.Bool(f"r {c}") for c in question.checks}
    entries: dict[int, list[tuple[Any, Any, dict[str, Any]]]] = {
        0: [(z3.BoolVal(True), z3.IntVal(0), {f: z3.BoolVal(v) for f, v in question.start.items()})]
    }
    for n in sorted(question.places):
        place, came = question.places[n], entries.get(n, [])
        if len(came) == 1:
            on, cost, facts = came[0]
        else:
            on = z3.Bool(f"on {n}")
            rules.append(on == z3.Or([c[0] for c in came]))
            cost, facts = came[-1][1], came[-1][2]
            for c in came[:-1]:
                cost = z3.If(c[0], c[1], cost)
                facts = {f: facts[f] if facts[f] is c[2][f] else z3.If(c[0], c[2][f], facts[f]) for f in facts}
            if not z3.is_int_value(cost):
                known = z3.Int(f"cost {n}")
                rules.append(known == cost)
                cost = known
        if n == question.node:
            fails = z3.Not(z3.Or([z3.And([facts[f] == v for f, v in way]) for way in question.formula]))
            return [*rules, on], cost + question.last, fails
        facts = facts | {f: z3.BoolVal(v) for f, v in place.effects}
        takes: list[Any] = []
        for way, (target, more, literals) in enumerate(place.ways):
            if len(place.ways) == 1:
                take = on
            else:
                chosen = results[place.check] if place.check in results else z3.Bool(f"way {n}")
                take = z3.Bool(f"take {n} {way}")
                rules.append(take == z3.And(on, chosen if way == 0 else z3.Not(chosen)))
            takes.append(take)
            after = facts | {f: z3.BoolVal(v) for f, v in literals}
            entries.setdefault(target, []).append((take, cost + more, after))
    raise AssertionError("the node asked for is never reached")


def by_z3(question: Question) -> int:
    """The shortest length: solve, ask for less, until there is none."""
    import z3

    rules, cost, fails = _z3_terms(question)
    solver = z3.Solver()
    solver.add(*rules, fails)
    best = -1
    while solver.check() == z3.sat:
        best = solver.model().eval(cost).as_long()
        solver.add(cost < best)
    return best


def by_z3_optimize(question: Question) -> int:
    """The shortest length by z3's own minimising."""
    import z3

    rules, cost, fails = _z3_terms(question)
    engine = z3.Optimize()
    engine.add(*rules, fails)
    least = engine.minimize(cost)
    return least.value().as_long() if engine.check() == z3.sat else -1


CLINGO = """
on(0).
1 { take(N,W) : way(N,W,_,_) } 1 :- on(N), way(N,_,_,_), not reads(N,_).
1 { result(C,0); result(C,1) } 1 :- check(C).
take(N,W) :- on(N), reads(N,C), result(C,W).
on(T) :- take(N,W), way(N,W,T,_).
at(0,F,V) :- start(F,V).
after(N,F,V) :- on(N), at(N,F,V), not sets(N,F).
after(N,F,V) :- on(N), set(N,F,V).
sets(N,F) :- set(N,F,_).
gives(N,W,F) :- give(N,W,F,_).
at(T,F,V) :- take(N,W), way(N,W,T,_), after(N,F,V), not gives(N,W,F).
at(T,F,V) :- take(N,W), way(N,W,T,_), give(N,W,F,V).
:- not on(goal).
:- alternative(A), at(goal,F,V) : asks(A,F,V).
#minimize { C,N : take(N,W), way(N,W,_,C) }.
#show.
"""


def by_clingo(question: Question) -> int:
    """The shortest length by clingo's minimising."""
    import clingo

    facts = {f: i for i, f in enumerate(question.facts)}
    checks = {c: i for i, c in enumerate(question.checks)}
    lines = [f"#const goal={question.node}."]
    lines += [f"start({facts[f]},{int(v)})." for f, v in question.start.items()]
    lines += [f"check({i})." for i in checks.values()]
    for n, place in question.places.items():
        lines += [f"set({n},{facts[f]},{int(v)})." for f, v in dict(place.effects).items()]
        if place.check in checks and len(place.ways) > 1:
            lines.append(f"reads({n},{checks[place.check]}).")
        for way, (target, cost, literals) in enumerate(place.ways):
            lines.append(f"way({n},{way},{target},{cost}).")
            lines += [f"give({n},{way},{facts[f]},{int(v)})." for f, v in dict(literals).items()]
    for a, alternative in enumerate(question.formula):
        lines.append(f"alternative({a}).")
        lines += [f"asks({a},{facts[f]},{int(v)})." for f, v in alternative]
    control = clingo.Control(["--warn=none"])
    control.add("base", [], CLINGO + "\n".join(lines))
    control.ground([("base", [])])
    best = -1
    with control.solve(yield_=True) as handle:
        for model in handle:
            best = model.cost[0] + question.last
    return best
