"""A job's tree as a finite automaton: places with edges that do a micro-step, read a result or give one.

Lanes of `together` are the product of their automata, `any order` is one chain for each sequence, a repeat with a
bound is written out round by round.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import permutations

from simulator.text import Block, Item, Line

from deciders.meaning import Literal, Op, Rig

MOST_PLACES = 4000


class TooLarge(Exception):
    """A job whose lanes have more places together than these deciders are meant for."""


@dataclass(frozen=True)
class Edge:
    """From a place to another (None: the path ends), under a guard, giving a result and facts."""

    source: int
    target: int | None
    op: Op | None = None
    guard: tuple[str, bool] | None = None
    gives: tuple[str, bool] | None = None
    sets: tuple[Literal, ...] = ()
    cost: int = 0


@dataclass
class Automaton:
    """Places are numbers from 0."""

    edges: list[Edge] = field(default_factory=list)
    places: int = 0

    def place(self) -> int:
        """A new place."""
        self.places += 1
        if self.places > MOST_PLACES:
            raise TooLarge
        return self.places - 1

    def add(self, source: int, target: int | None, **rest: object) -> None:
        self.edges.append(Edge(source, target, **rest))  # type: ignore[arg-type]


class Compiler:
    """Builds the automaton of one job in one variant; place 0 is the start, `last` where the end asks."""

    def __init__(self, rig: Rig, items: list[Item], lines: dict[int, int]) -> None:
        self.rig, self.lines = rig, lines
        self.variant = "large" if rig.large else "small"
        texts = [
            t for i in walk(items) for t in ([i.text] if isinstance(i, Line) else [a.split("\n")[0] for a, _ in i.arms])
        ]
        self.read = {m[1] for t in texts if (m := re.match(r"(?:when|repeat until) (\S+)", t))}
        for text in texts:
            if text.startswith("check"):
                _, check, _, listed = text.split(" ", 3)
                for name in listed.split(", "):
                    rig.asked.setdefault(name, []).append(check)
        rig.hold = any(isinstance(i, Line) and i.text.startswith("hold") for i in self.here(items))
        self.lent = False
        self.whole = Automaton()
        self.last = self.body(self.whole, items, self.whole.place())
        touched = {f for e in self.whole.edges for f, _ in (*e.sets, *(e.op.sets if e.op else ()))}
        stop = tuple(rig.stop(touched))
        self.whole.edges = [
            Edge(e.source, e.target, Op(e.op.line, e.op.words, stop, e.op.sets, e.op.cost), cost=e.cost)
            if e.op and e.op.words in ("stop here", "may stop here") else e
            for e in self.whole.edges
        ]  # fmt: skip
        self.whole.add(self.last, None, op=Op(0, "end of the job", tuple(rig.end(touched)), (), 0))

    def here(self, items: list[Item]) -> list[Item]:
        """All statements, inner ones too, without what the variant skips."""
        found: list[Item] = []
        for item in items:
            scope = re.search(r"only for (\S+)", item.text if isinstance(item, Line) else item.arms[0][0])
            if scope and scope[1] != self.variant:
                continue
            found.append(item)
            for _, body in item.arms if isinstance(item, Block) else ():
                found += self.here(body)
        return found

    def body(self, a: Automaton, items: list[Item], at: int) -> int:
        """Statements one after the other from a place on; the place after them."""
        for item in items:
            at = self.line(a, item, at) if isinstance(item, Line) else self.block(a, item, at)
        return at

    # ---- lines -----------------------------------------------------------------------------------
    def line(self, a: Automaton, item: Line, at: int) -> int:
        text, number = item.text, self.lines[id(item)]
        scope = re.search(r" only for (\S+)", text)
        if scope and scope[1] != self.variant:
            return at
        text = re.sub(r" only for \S+", "", text)
        first, _, rest = text.partition(" ")
        if first == "step":
            return self.step(a, rest, number, at)
        if first == "check":
            check, _, listed = rest.partition(" on ")
            at = self.do(a, at, Op(number, f"check {check}"))
            facts = self.rig.judged(check, listed.split(", "))
            return self.outcome(a, at, check, [(f, True) for f in facts], [(f, False) for f in facts])
        if first == "hold":
            needs = (("hold-before-proof", ((("proved vessel", True),),)),)
            return self.do(a, at, Op(number, "hold H1", needs, (("witnessed vessel", True), ("released H1", True))))
        if text == "stop here":
            a.add(at, None, op=Op(number, text, cost=0))
            return a.place()
        word = "wait" if first == "wait" else text
        return self.do(a, at, Op(number, word, (), tuple(self.rig.stale(word))))

    def do(self, a: Automaton, at: int, op: Op) -> int:
        after = a.place()
        a.add(at, after, op=op, cost=op.cost)
        return after

    def outcome(self, a: Automaton, at: int, result: str, good: list[Literal], bad: list[Literal]) -> int:
        after = a.place()
        a.add(at, after, gives=(result, True), sets=tuple(good), cost=1)
        a.add(at, after, gives=(result, False), sets=tuple(bad), cost=1)
        return after

    def step(self, a: Automaton, words: str, number: int, at: int) -> int:
        words, _, name = words.partition(" as ")
        verb, _, listed = words.partition(" ")
        passes: list[Literal] = []
        for thing in listed.split(", "):
            needs, sets, given = self.rig.step(f"{verb} {thing}", self.lent)
            if name and name in self.read:
                passes += given
            else:
                sets = sets + given
            at = self.do(a, at, Op(number, f"{verb} {thing}", tuple(dict.fromkeys(needs)), tuple(sets)))
        return self.outcome(a, at, name, passes, []) if name and name in self.read else at

    # ---- blocks ----------------------------------------------------------------------------------
    def block(self, a: Automaton, item: Block, at: int) -> int:
        head = item.arms[0][0].split("\n")[0]
        bodies = [b for _, b in item.arms]
        if head.startswith(("ask", "either")):
            return self.choice(a, bodies, at)
        if head.startswith("when"):
            _, result, way = head.split()
            after = a.place()
            for ok, body in ((way == "accepted", bodies[0]), (way != "accepted", bodies[1] if len(bodies) > 1 else [])):
                enter = a.place()
                a.add(at, enter, guard=(result, ok))
                a.add(self.body(a, body, enter), after)
            return after
        if head.startswith("repeat"):
            return self.repeat(a, head, bodies, at)
        if head == "any order":
            after = a.place()
            todo = [i for i in bodies[0] if self.here([i])]
            for order in permutations(todo):
                enter = a.place()
                a.add(at, enter)
                a.add(self.body(a, list(order), enter), after)
            return after
        if head == "together":
            return self.together(a, bodies, at)
        if head.startswith("only for"):
            return self.body(a, bodies[0], at) if head.split()[2] == self.variant else at
        return self.lend(a, item, at)

    def choice(self, a: Automaton, bodies: list[list[Item]], at: int) -> int:
        after = a.place()
        for body in bodies:
            enter = a.place()
            a.add(at, enter, cost=1)
            a.add(self.body(a, body, enter), after)
        return after

    def repeat(self, a: Automaton, head: str, bodies: list[list[Item]], at: int) -> int:
        result = head.split()[2]
        bound = re.search(r"at most (\d+)", head)
        after = a.place()
        if not bound:
            done = self.body(a, bodies[0], at_loop := a.place())
            a.add(at, at_loop)
            a.add(done, after, guard=(result, True))
            a.add(done, at_loop, guard=(result, False))
            return after
        for _ in range(int(bound[1])):
            done = self.body(a, bodies[0], at)
            a.add(done, after, guard=(result, True))
            at = a.place()
            a.add(done, at, guard=(result, False))
        a.add(self.body(a, bodies[1] if len(bodies) > 1 else [], at), after)
        return after

    def together(self, a: Automaton, bodies: list[list[Item]], at: int) -> int:
        """The product of the lanes: one of them takes its next edge."""
        lanes: list[tuple[Automaton, int]] = []
        for body in bodies:
            lane = Automaton()
            lanes.append((lane, self.body(lane, body, lane.place())))
        known = {(0,) * len(lanes): at}
        todo = list(known)
        while todo:
            here = todo.pop()
            for n, (lane, _) in enumerate(lanes):
                for e in lane.edges:
                    if e.source != here[n]:
                        continue
                    target = None
                    if e.target is not None:
                        there = (*here[:n], e.target, *here[n + 1 :])
                        if there not in known:
                            known[there] = a.place()
                            todo.append(there)
                        target = known[there]
                    a.edges.append(Edge(known[here], target, e.op, e.guard, e.gives, e.sets, e.cost))
        end = tuple(last for _, last in lanes)
        return known[end] if end in known else a.place()

    def lend(self, a: Automaton, item: Block, at: int) -> int:
        number = self.lines[id(item)]
        at = self.do(a, at, Op(number, "lend back", (("lent-back-not-clear", ((("area-clear", True),),)),)))
        before, self.lent = self.lent, True
        at = self.body(a, item.arms[0][1], at)
        self.lent = before
        inner = [re.sub(r" only for \S+", "", i.text) for i in self.here(item.arms[0][1]) if isinstance(i, Line)]
        listed = [b for t in inner if t.startswith("step unlock ") for b in t.removeprefix("step unlock ").split(", ")]
        again = [("lent-back-not-isolated", (((f"{w} {b}", True),),)) for b in dict.fromkeys(listed) if b in self.rig.blocks for w in ("set", "locked")]  # fmt: skip
        return self.do(a, at, Op(number, "lent back", tuple(again), (), 0))


def walk(items: list[Item]) -> list[Item]:
    """All statements, inner ones too."""
    found: list[Item] = []
    for item in items:
        found.append(item)
        for _, body in item.arms if isinstance(item, Block) else ():
            found += walk(body)
    return found


def given_at_once(items: list[Item]) -> bool:
    """Whether two lanes of a `together` give the same result: what that means is not modelled."""

    def gives(body: list[Item]) -> set[str]:
        lines = [i.text for i in walk(body) if isinstance(i, Line)]
        found = {t.split()[1] for t in lines if t.startswith("check")}
        return found | {t.split(" as ")[1].split()[0] for t in lines if " as " in t}

    for item in walk(items):
        if isinstance(item, Block) and item.arms[0][0] == "together":
            lanes = [gives(b) for _, b in item.arms]
            if any(x & y for n, x in enumerate(lanes) for y in lanes[:n]):
                return True
    return False
