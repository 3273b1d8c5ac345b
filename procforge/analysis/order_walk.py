"""Walks the work of one variant in written order and takes down what each unit needs and sets.

A unit is what has a place in the order: a step, check, measurement, hold, question, free choice, call, mark, or a
whole repeat or lend-back. The micro-steps are those of the proof's program, so both speak of the same facts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from procforge.analysis.micro import Micro, Must
from procforge.analysis.order_ledger import Ledger, Relation, State
from procforge.analysis.program import Kind, Node, Program
from procforge.analysis.states import Literal
from procforge.model.procedure import AnyWork, Ask, Check, Group, Hold, Mark, Measure, Repeat, Step, When
from procforge.model.tree import walk

#: Facts that stand for an order given by the words alone.
ANSWER, BARRIER = "answer", "barrier"


@dataclass(frozen=True, slots=True)
class Unit:
    """A thing with a place in the order: its number in written order, its statement, the block it stands in."""

    number: int
    work: AnyWork
    block: int


@dataclass(frozen=True, slots=True)
class Block:
    """A body with an order of its own: the whole job, an arm or a lane. `inside` is the block around it, -1 for none.

    `holder` is the statement it belongs to; the blocks of one holder move together.
    """

    inside: int
    holder: AnyWork | None


#: What a unit in an arm hangs on: the number of the question, or the fact of a check's result.
Control = int | str


@dataclass(slots=True)
class _Scope:
    """A block while it is walked: its units since the last barrier, and that barrier."""

    number: int
    control: Control | None = None
    since: list[int] = field(default_factory=list)
    barrier: int = -1


class Walker:
    """Fills a ledger from a program; `run` gives the units."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.ledger = Ledger()
        self.units: list[Unit] = []
        self.blocks = [Block(-1, None)]
        self._scopes = [_Scope(0)]
        self._whole = -1  # the repeat or lend-back that takes everything in
        self._nodes: dict[int, list[Node]] = {}
        for node in program.nodes:
            if node.work is not None and not node.skipped:
                self._nodes.setdefault(id(node.work), []).append(node)

    def run(self, body: tuple[AnyWork, ...]) -> tuple[Unit, ...]:
        """Walk the whole job."""
        self.body(State(self.program.start), body)
        return tuple(self.units)

    # ---- bodies ------------------------------------------------------------------------------
    def body(self, state: State, works: tuple[AnyWork, ...]) -> bool:
        """A sequence from a state, which is changed; whether its end is reached."""
        works = tuple(w for w in works if self._shown(w) and not (isinstance(w, Mark) and w.form == "note"))
        index, live, began = 0, True, 0
        for_next = -1  # a wait that the next statement keeps to
        while index < len(works):
            work, first = works[index], len(self.units)
            following = works[index + 1] if index + 1 < len(works) else None
            direct = following if isinstance(following, When) and _result(work) == following.check else None
            live = self._one(state, work, direct) and live
            for unit in range(first, len(self.units)) if for_next >= 0 else ():
                self.ledger.arc(for_next, unit, Relation.GUARDS, BARRIER)
            for_next = -1
            if isinstance(work, Mark) and work.form == "wait" and self._whole < 0:
                self._wait(work, first, range(began, first) if index else None)
                for_next = first
                if following is None:
                    self._barrier(first)
            began = first
            index += 1 + (direct is not None)
        return live

    def _wait(self, wait: Mark, unit: int, previous: range | None) -> None:
        """A wait comes after its event, or what stands just before it, and before what stands just after it."""
        verb, _, name = wait.after.partition(" ")
        event = [
            u.number
            for u in self.units
            if verb and isinstance(u.work, Step) and u.work.verb == verb and _acts_on(u.work, name)
        ]
        if previous is None and not event:
            self._barrier(unit)
        for earlier in event or previous or ():
            self.ledger.arc(earlier, unit, Relation.GUARDS, BARRIER)

    def _shown(self, work: AnyWork) -> bool:
        return work.only_for.holds(self.program.machine.variant)

    def _one(self, state: State, work: AnyWork, reader: When | None) -> bool:
        if isinstance(work, When):
            return self._when(state, work, ())
        if isinstance(work, Ask):
            unit = self._unit(state, work)
            return self._arms(state, work, (work.yes, work.no), unit)
        if isinstance(work, Repeat):
            return self._repeat(state, work)
        if isinstance(work, Group):
            return self._group(state, work)
        unit = self._unit(state, work)
        outcomes = self._do(state, unit, self._nodes.get(id(work), []), reader is not None)
        if reader is not None:
            return self._when(state, reader, outcomes)
        if isinstance(work, Mark) and work.form == "stop":
            self._stop(state, unit)
            return False
        if isinstance(work, Hold) or (isinstance(work, Mark) and work.form != "wait"):
            self._barrier(unit)
        return True

    # ---- units -------------------------------------------------------------------------------
    def _unit(self, state: State, work: AnyWork) -> int:
        """The number of the unit that a statement is, or belongs to; ordered by what it hangs on."""
        if self._whole >= 0:
            return self._whole
        number = len(self.units)
        self.units.append(Unit(number, work, self._scopes[-1].number))
        for scope in self._scopes:
            if isinstance(scope.control, str):
                self.ledger.read_result(state, number, scope.control)
            elif scope.control is not None:
                self.ledger.arc(scope.control, number, Relation.NEEDS, ANSWER)
            if scope.barrier >= 0:
                self.ledger.arc(scope.barrier, number, Relation.GUARDS, BARRIER)
            scope.since.append(number)
        return number

    def _barrier(self, unit: int) -> None:
        """What came before in the block stays before, what comes after stays after."""
        if self._whole < 0:
            scope = self._scopes[-1]
            for earlier in scope.since:
                self.ledger.arc(earlier, unit, Relation.GUARDS, BARRIER)
            scope.since, scope.barrier = [unit], unit

    def _stop(self, state: State, unit: int) -> None:
        """Where a path may end: what came before is done by then; what follows waits for the answer."""
        if self._whole >= 0:
            return
        for scope in self._scopes:
            for earlier in scope.since:
                self.ledger.arc(earlier, unit, Relation.GUARDS, BARRIER)
        deciding = -1
        for scope in reversed(self._scopes):
            scope.barrier = max(scope.barrier, deciding)
            if isinstance(scope.control, str):
                deciding = max(n for members in state.trace(scope.control).set_by for n, _ in members)
            elif scope.control is not None:
                deciding = scope.control

    def _may_end(self, work: AnyWork) -> None:
        """A whole in which a path may end stands between what is before and after it."""
        if self._whole < 0 and any(isinstance(w, Mark) and w.form == "stop" for w in walk((work,))):
            self._barrier(len(self.units) - 1)

    def _do(self, state: State, unit: int, nodes: list[Node], read: bool) -> tuple[tuple[Literal, ...], ...]:
        """The micro-steps of a unit; the effects of an (accepted, rejected) result if it is read at once."""
        outcomes: tuple[tuple[Literal, ...], ...] = ()
        for node in nodes:
            if node.micro is not None:
                self._micro(state, unit, node.micro)
            if node.kind == Kind.RESULT:
                self.ledger.write_either(state, unit, _of_result(node.check))
                if read:
                    outcomes = (node.accepted, node.rejected)
                else:
                    for fact in dict.fromkeys(f for f, _ in node.accepted + node.rejected):
                        self.ledger.write_either(state, unit, fact)
        return outcomes

    def _micro(self, state: State, unit: int, micro: Micro) -> None:
        for must in micro.needs:
            for fact, value in relied_on(state, must):
                self.ledger.read(state, unit, fact, value)
        for fact, value in dict(micro.effects).items():
            self.ledger.write(state, unit, fact, value)
        for fact in sorted(micro.unknown | micro.either):
            self.ledger.write_either(state, unit, fact)

    # ---- blocks ------------------------------------------------------------------------------
    def _inner(
        self, state: State, holder: AnyWork, body: tuple[AnyWork, ...], control: Control | None
    ) -> tuple[State, bool]:
        """A body of its own, from a copy of the state: what it leaves, and whether its end is reached."""
        inner = state.inner()
        if self._whole >= 0:
            return inner, self.body(inner, body)
        self.blocks.append(Block(self._scopes[-1].number, holder))
        self._scopes.append(_Scope(len(self.blocks) - 1, control))
        live = self.body(inner, body)
        self._scopes.pop()
        return inner, live

    def _arms(
        self, state: State, holder: AnyWork, bodies: Iterable[tuple[AnyWork, ...]], control: Control | None
    ) -> bool:
        return self._joined(state, [self._inner(state, holder, body, control) for body in bodies])

    def _joined(self, state: State, ends: list[tuple[State, bool]], lanes: bool = False) -> bool:
        live = [s for s, reached in ends if reached]
        self.ledger.join(state, live, [s for s, reached in ends if not reached], lanes, self._whole)
        return bool(live)

    def _when(self, state: State, when: When, outcomes: tuple[tuple[Literal, ...], ...]) -> bool:
        """The arms of a `when`; `outcomes` are the effects of its check where that stands just before."""
        fact = _of_result(when.check)
        bodies = (when.body, when.otherwise) if when.accepted else (when.otherwise, when.body)
        ends = []
        by = self._whole if self._whole >= 0 else len(self.units) - 1
        for accepted, body in enumerate(bodies):
            start = state.inner()
            for literal in outcomes[accepted] if outcomes else ():
                self.ledger.write(start, by, *literal)
            left, live = self._inner(start, when, body, fact)
            self.ledger.join(start, [left] if live else [], [] if live else [left], unit=self._whole)
            ends.append((start, live))
        return self._joined(state, ends)

    def _repeat(self, state: State, repeat: Repeat) -> bool:
        outer = self._whole
        self._whole = self._unit(state, repeat)
        inner = state.inner()
        live = self.body(inner, repeat.body)
        last = inner.inner()
        again = self.body(last, repeat.otherwise or ()) and live
        self.ledger.join(inner, [inner.inner(), *([last] if again else [])], [] if again else [last], unit=self._whole)
        self.ledger.join(state, [inner], unit=self._whole)
        self._whole = outer
        self._may_end(repeat)
        return True

    def _group(self, state: State, group: Group) -> bool:
        if group.form == "lend-back":
            outer = self._whole
            self._whole = self._unit(state, group)
            gates = self._nodes.get(id(group), [])
            self._do(state, self._whole, gates[:1], False)
            live = self.body(state, group.lanes[0] if group.lanes else ())
            self._do(state, self._whole, gates[1:], False)
            self._whole = outer
            self._may_end(group)
            return live
        if group.form == "either":
            return self._arms(state, group, group.lanes, self._unit(state, group))
        if group.form in ("any-order", "together") and len(group.lanes) > 1:
            return self._joined(state, [self._inner(state, group, lane, None) for lane in group.lanes], lanes=True)
        live = True
        for lane in group.lanes:
            live = self.body(state, lane) and live
        return live


def relied_on(state: State, must: Must) -> tuple[Literal, ...]:
    """The literals that a need rests on here: the first way that surely holds, else all that might."""
    for way in must.formula:
        if all(state.surely(fact, value) for fact, value in way):
            return way
    return tuple(dict.fromkeys(literal for way in must.formula for literal in way))


def _acts_on(step: Step, names: str) -> bool:
    """Whether a step acts on one of the names, which stand after each other; on anything if there are none."""
    return not names or any(f" {ref.name} " in f" {names} " for ref in step.objects)


def _result(work: AnyWork) -> str:
    return work.result if isinstance(work, (Step, Check, Measure)) else ""


def _of_result(check: str) -> str:
    return f"result {check}"
