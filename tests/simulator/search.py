"""For every rule, place and formula: the length of the shortest path on which the need fails.

A uniform-cost search over explicit states, once for each rule, each with its own copy of the facts its needs read.
A state is a numbered term, the facts as bits (true, either way, unknown) and the last results.
"""

from __future__ import annotations

from typing import NamedTuple

from simulator.control import Move, Term, moves, push, reads, settled
from simulator.program import Asked, Demand, Halt, Micro, Place, flat
from simulator.reader import Reader
from simulator.states import Formula, initially

#: Rule, place, formula with its alternatives in no order.
Found = dict[tuple[str, Place, frozenset[frozenset[tuple[str, bool]]]], int]
Doing = Micro | Halt | Demand


class TooMany(Exception):
    """More states than the simulator is meant for."""


class Facts(NamedTuple):
    """Facts as bit sets; a bit that is `either` or `unknown` is not in `true`."""

    true: int
    either: int = 0
    unknown: int = 0


#: Number of the term, facts, last results.
State = tuple[int, Facts, tuple[bool | None, ...]]


class Control:
    """The numbered terms of a procedure, with their moves."""

    def __init__(self, reader: Reader) -> None:
        self.ids: dict[Term, int] = {}
        self.terms: list[Term] = []
        self.known: dict[int, list[tuple[Move, int]]] = {}
        self.still_read: list[frozenset[str]] = []
        self.first = self.number(settled(push(reader.body, None)))

    def number(self, term: Term) -> int:
        """The number of a term."""
        if term not in self.ids:
            self.ids[term] = len(self.terms)
            self.terms.append(term)
            self.still_read.append(reads(term))
        return self.ids[term]

    def moves(self, number: int) -> list[tuple[Move, int]]:
        """The moves of a numbered term with the numbers of what follows."""
        if number not in self.known:
            self.known[number] = [(m, self.number(m.after)) for m in moves(self.terms[number])]
        return self.known[number]


class Slice:
    """What one rule sees of a procedure: its formulas and the facts they read, as bits."""

    def __init__(self, rule: str, doings: list[Doing], start: dict[str, bool]) -> None:
        self.rule = rule
        self.bits: dict[str, int] = {}
        for doing in doings:
            for other, formula in doing.needs:
                if other == rule:
                    for alternative in formula:
                        for about, _ in alternative:
                            self.bits.setdefault(about, 1 << len(self.bits))
        self.start = Facts(sum(b for f, b in self.bits.items() if initially(start, f)))
        self._asked: dict[Doing, list[tuple[Formula, list[tuple[int, int]], int]]] = {}
        self._masks: dict[int, tuple[int, int, int, int]] = {}

    def asked(self, doing: Doing) -> list[tuple[Formula, list[tuple[int, int]], int]]:
        """The rule's formulas there: each with (must be true, must be false) by alternative, and all bits read."""
        if doing not in self._asked:
            found = []
            for formula in dict.fromkeys(f for r, f in doing.needs if r == self.rule):
                alternatives = [(self.mask(a, True), self.mask(a, False)) for a in formula]
                found.append((formula, alternatives, sum({b for a in formula for b in (self.bits[f] for f, _ in a)})))
            self._asked[doing] = found
        return self._asked[doing]

    def mask(self, literals: tuple[tuple[str, bool], ...] | list[tuple[str, bool]], value: bool) -> int:
        """The bits of the facts that get the value; the last word on a fact counts."""
        return sum(self.bits[f] for f, v in dict(literals).items() if v is value and f in self.bits)

    def set(self, facts: Facts, move: Move) -> Facts:
        """The facts after a move's effects."""
        key = id(move.doing) if move.doing is not None else id(move.effects)
        if key not in self._masks:
            micro = move.doing if isinstance(move.doing, Micro) else None
            effects = list(move.effects) + (micro.effects if micro else [])
            either = sum(self.bits.get(f, 0) for f in micro.either) if micro else 0
            unknown = sum(self.bits.get(f, 0) for f in micro.unknown) if micro else 0
            self._masks[key] = self.mask(effects, True), self.mask(effects, False), either, unknown
        true, false, either, unknown = self._masks[key]
        if not (true or false or either or unknown):
            return facts
        known = ~(true | false | either | unknown)
        return Facts(facts.true & known | true, facts.either & known | either, facts.unknown & known | unknown)


def holds(facts: Facts, alternatives: list[tuple[int, int]]) -> bool:
    """Whether a formula is met; an unknown fact meets everything."""
    could = facts.true | facts.unknown
    return any(could & t == t and not facts.true & f & ~facts.unknown for t, f in alternatives)


def split(facts: Facts, read: int) -> list[Facts]:
    """The facts with those read that may be either way decided, both ways."""
    found = [facts]
    open_bits = facts.either & read
    while open_bits:
        bit = open_bits & -open_bits
        open_bits -= bit
        found = [f._replace(either=f.either & ~bit, true=f.true | (bit if v else 0)) for f in found for v in (0, 1)]
    return found


def needs_met(seen: Slice, facts: Facts, doing: Doing) -> tuple[list[Facts], list[Formula]]:
    """The facts with which the rule goes on, and the formulas that failed."""
    now, failed = [facts], []
    for formula, alternatives, read in seen.asked(doing):
        after = []
        for f in (s for one in now for s in split(one, read)):
            if not holds(f, alternatives):
                failed.append(formula)
                if alternatives:
                    t, n = alternatives[0]
                    f = f._replace(true=f.true & ~n | t & ~f.unknown)
            after.append(f)
        now = after
    return now, failed


def search_rule(rule: str, reader: Reader, control: Control, doings: list[Doing], limit: int) -> Found:
    """The shortest failures of one rule."""
    seen = Slice(rule, doings, reader.start)
    index = {r: n for n, r in enumerate(reader.results)}
    found: Found = {}
    level: list[State] = [(control.first, seen.start, (None,) * len(index))]
    done: set[State] = set()
    cost = 0
    while level:
        following: list[State] = []
        while level:
            state = level.pop()
            if state in done:
                continue
            done.add(state)
            if len(done) > limit:
                raise TooMany(f"{rule}: more than {limit} states")
            number, facts, results = state
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
                doing = move.doing
                if doing is not None:
                    now, failed = needs_met(seen, facts, doing)
                    for formula in failed:
                        key = rule, doing.place, frozenset(frozenset(a) for a in formula)
                        found.setdefault(key, cost + move.cost)
                last = tuple(v if r in control.still_read[after] else None for r, v in zip(index, last, strict=True))
                into = following if move.cost else level
                into += [(after, seen.set(f, move), last) for f in now]
        level = following
        cost += 1
    return found


def asked_by_rule(doings: list[Doing]) -> dict[str, Asked]:
    """All needs of the procedure by rule."""
    rules: dict[str, Asked] = {}
    for doing in doings:
        for rule, formula in doing.needs:
            rules.setdefault(rule, []).append((rule, formula))
    return rules


def simulate(reader: Reader, limit: int = 400_000) -> Found:
    """All shortest failures of a procedure in one variant."""
    control = Control(reader)
    doings: list[Doing] = [i for i in flat(reader.body) if isinstance(i, (Micro, Halt, Demand))]
    found: Found = {}
    for rule in asked_by_rule(doings):
        found |= search_rule(rule, reader, control, doings, limit)
    return found
