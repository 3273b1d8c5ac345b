"""Builds the program of a procedure for one variant."""

from __future__ import annotations

from procforge.analysis.doings import Common, Doings
from procforge.analysis.end import end_needs, stop_needs
from procforge.analysis.machine import Machine
from procforge.analysis.micro import Micro, Must
from procforge.analysis.program import Kind, Node, Program
from procforge.analysis.states import Literal, fact, one, start_value, word_literals
from procforge.model.procedure import (
    AnyWork,
    Ask,
    Call,
    Check,
    Group,
    Hold,
    Hole,
    Mark,
    Measure,
    Procedure,
    Repeat,
    Step,
    When,
)
from procforge.model.tree import walk


class Builder:
    """Lays nodes in written order; `build_program` is the way in."""

    def __init__(self, procedure: Procedure, machine: Machine, called: dict[int, Program], common: Common) -> None:
        self.procedure = procedure
        self._called = called
        self._common = common
        self.machine = machine
        self.doings = Doings(procedure, machine, common)
        self.nodes: list[Node] = []
        self.loops = 0
        self.read_later = common.read_later(procedure)
        self._stop_needs: tuple[Must, ...] | None = None

    # ---- nodes -------------------------------------------------------------------------------
    def add(self, node: Node) -> int:
        """Lay a node; its id."""
        self.nodes.append(node)
        return len(self.nodes) - 1

    def op(self, work: AnyWork | None, micro: Micro | None, cost: int = 1, skipped: bool = False) -> int:
        """An OP that goes on to the next node laid."""
        index = self.add(Node(Kind.OP, work, micro, cost=cost, skipped=skipped))
        self.nodes[index].nexts = [index + 1]
        return index

    def body(self, works: tuple[AnyWork, ...]) -> None:
        """A sequence; a check read right after it branches at once."""
        index = 0
        while index < len(works):
            work = works[index]
            following = works[index + 1] if index + 1 < len(works) else None
            if not work.only_for.holds(self.machine.variant):
                self._skip(work)
            elif (
                isinstance(following, When)
                and following.only_for.holds(self.machine.variant)
                and self._result(work) == following.check
            ):
                self._doing(work, following)
                index += 1
            else:
                self.one(work)
            index += 1

    def _skip(self, work: AnyWork) -> None:
        self.op(work, None, 0, skipped=True)

    @staticmethod
    def _result(work: AnyWork) -> str:
        return work.result if isinstance(work, (Step, Check, Measure)) else ""

    def one(self, work: AnyWork) -> None:
        """One statement."""
        if isinstance(work, (Step, Check, Measure)):
            self._doing(work, None)
        elif isinstance(work, Hold):
            self.op(work, self.doings.hold(work))
        elif isinstance(work, When):
            node = self.add(Node(Kind.READ, work, check=work.check, labels=("accepted", "rejected")))
            self._arms(node, work)
        elif isinstance(work, Ask):
            self._ask(work)
        elif isinstance(work, Repeat):
            self._repeat(work)
        elif isinstance(work, Group):
            self._group(work)
        elif isinstance(work, Call):
            self._call(work)
        elif isinstance(work, Mark):
            self._mark(work)
        elif isinstance(work, Hole):
            self.op(work, self.doings.expander.havoc(work.words), 0)

    def join(self) -> None:
        """Where the ways of a branch, a repeat or a fork meet: a node of its own, so that no two share it."""
        self.op(None, None, 0)

    # ---- doings ------------------------------------------------------------------------------
    def _doing(self, work: AnyWork, reader: When | None) -> None:
        micros = self.doings.micros(work)
        # A check is always judged either way; a step or a reading that nothing reads has passed where the job goes on.
        if not isinstance(work, Check) and self._result(work) not in self.read_later:
            for micro in micros:
                self.op(work, micro.settled())
            return
        accepted: list[Literal] = []
        rejected: list[Literal] = []
        for micro in micros:
            self.op(work, micro)
            accepted += micro.passed
            rejected += micro.failed
        node = self.add(
            Node(
                Kind.RESULT,
                work,
                check=self._result(work),
                labels=("accepted", "rejected"),
                cost=1,
                accepted=tuple(accepted),
                rejected=tuple(rejected),
            )
        )
        if reader is None:
            self.nodes[node].nexts = [node + 1, node + 1]
            self.join()
        else:
            self._arms(node, reader)

    def _arms(self, node: int, when: When) -> None:
        """Two arms from a node whose nexts are (accepted, rejected)."""
        first = len(self.nodes)
        self.body(when.body)
        leave = self.add(Node(Kind.OP))
        second = len(self.nodes)
        self.body(when.otherwise)
        self.nodes[leave].nexts = [len(self.nodes)]
        self.nodes[node].nexts = [first, second] if when.accepted else [second, first]
        self.join()

    # ---- holds and marks ---------------------------------------------------------------------
    def _stops(self) -> tuple[Must, ...]:
        if self._stop_needs is None:
            written: set[str] = set()
            for work in walk(self.procedure.body):
                if isinstance(work, Step):
                    written.update(f for m in self.doings.step_micros(work) for f, _ in m.effects + m.passed)
                elif isinstance(work, Call) and (callee := self.procedure.callees.get(work.file)) is not None:
                    inner = build_program(callee, self.machine, self._called, self._common)
                    written |= inner.written() - inner.own()
            self._stop_needs = stop_needs(self.machine, written, given_start(self.procedure, self.machine))
        return self._stop_needs

    def _mark(self, mark: Mark) -> None:
        energies = self.machine.energies
        if mark.form == "stop":
            self.add(Node(Kind.STOP, mark, Micro("stop here", self._stops())))
        elif mark.form == "handover":
            stale = [(fact(s, e), False) for e in energies for s in ("proved", "witnessed")]
            self.op(mark, Micro("handover", (), tuple(stale)))
        elif mark.form == "may-stop":
            aged = [e for e, item in energies.items() if item.reaccumulates or item.proof_good_for is not None]
            stale = [(fact(s, e), False) for e in aged for s in ("proved", "witnessed")]
            self.op(mark, Micro("may stop here", self._stops(), tuple(stale)))
        elif mark.form == "wait":
            aged = [e for e, item in energies.items() if item.reaccumulates]
            self.op(mark, Micro("wait", (), tuple((fact("proved", e), False) for e in aged)))
        else:
            self.op(mark, None, 0)

    # ---- branches ----------------------------------------------------------------------------
    def _ask(self, ask: Ask) -> None:
        node = self.add(Node(Kind.CHOICE, ask, labels=("yes", "no"), cost=1))
        written = ("no", "yes") if ask.answered[:1] == ("no",) else ("yes", "no")
        starts: dict[str, int] = {}
        leave = -1
        for answer in written:
            starts[answer] = len(self.nodes)
            self.body(ask.yes if answer == "yes" else ask.no)
            if leave < 0:
                leave = self.add(Node(Kind.OP))
        self.nodes[leave].nexts = [len(self.nodes)]
        self.nodes[node].nexts = [starts[a] for a in written]
        self.nodes[node].labels = written
        self.join()

    def _repeat(self, repeat: Repeat) -> None:
        loop = self.loops
        self.loops += 1
        self.add(Node(Kind.ENTER, repeat, loop=loop, nexts=[len(self.nodes) + 1]))
        start = len(self.nodes)
        body = repeat.body
        last = body[-1] if body else None
        direct = last is not None and last.only_for.holds(self.machine.variant) and self._result(last) == repeat.check
        self.body(body)
        if direct:  # the result itself is the branch
            self.nodes.pop()
            test = len(self.nodes) - 1
        else:
            test = self.add(Node(Kind.READ, repeat, check=repeat.check, labels=("accepted", "rejected")))
        again = self.add(Node(Kind.ROUND, repeat, loop=loop, bound=repeat.times))
        self.body(repeat.otherwise or ())
        self.nodes[again].nexts = [start, again + 1]
        self.nodes[test].nexts = [len(self.nodes), again]
        self.join()

    def _group(self, group: Group) -> None:
        if group.form == "lend-back":
            self._lend_back(group)
        elif group.form == "either":
            node = self.add(
                Node(Kind.CHOICE, group, labels=tuple(f"way {i + 1}" for i in range(len(group.lanes))), cost=1)
            )
            leaves, starts = [], []
            for lane in group.lanes:
                starts.append(len(self.nodes))
                self.body(lane)
                leaves.append(self.add(Node(Kind.OP)))
            for leave in leaves:
                self.nodes[leave].nexts = [len(self.nodes)]
            self.nodes[node].nexts = starts
            self.join()
        elif group.form in ("any-order", "together") and len(group.lanes) > 1:
            fork = self.add(Node(Kind.FORK, group, together=group.form == "together"))
            starts = []
            for lane in group.lanes:
                starts.append(len(self.nodes))
                self.body(lane)
                self.add(Node(Kind.LANE))
            self.nodes[fork].lanes = tuple(starts)
            self.nodes[fork].nexts = [len(self.nodes)]
            self.join()
        else:
            for lane in group.lanes:
                self.body(lane)

    def _lend_back(self, group: Group) -> None:
        """Energy back for a test or a move, in five steps: clear, locks off, energise, de-energise, isolate again."""
        start = len(self.nodes)
        self.op(group, Micro("lend back", (Must("lent-back-not-clear", one("area-clear"), "area"),)))
        self.body(group.lanes[0] if group.lanes else ())
        devices: set[str] = set()
        for node in self.nodes[start:]:
            if node.micro is not None and isinstance(node.work, Step):
                devices |= {
                    f.partition(" ")[2] for f, value in node.micro.effects if f.startswith("locked ") and not value
                }
                node.micro = node.micro.lent()
        needs = [Must("lent-back-not-isolated", one(fact(s, d)), d) for d in sorted(devices) for s in ("set", "locked")]
        self.op(group, Micro("lent back", tuple(needs)), 0)

    def _call(self, call: Call) -> None:
        callee = self.procedure.callees.get(call.file)
        if callee is None:  # a file that is not there: it may have done anything
            self.op(call, self.doings.expander.havoc(tuple(self.machine.items)), 0)
            return
        if not callee.applies.holds(self.machine.variant):
            self.op(call, Micro(f"do {call.file}", (Must("call-not-for-variant", (), call.file),)))
            return
        inner = build_program(callee, self.machine, self._called, self._common)
        needs = [
            Must("call-contract-not-met", one(f, inner.start[f]), f.partition(" ")[2])
            for f in sorted(inner.facts() - inner.own())
        ]
        written = inner.written() - inner.own()
        known: dict[str, bool] = {}
        for must in end_needs(self.machine, written, inner.start, callee.leaves):
            ((literal,),) = must.formula
            known[literal[0]] = literal[1]
        unknown = frozenset(written - set(known))
        asked, sure, either = self.doings.house.at_call(callee)
        effects = tuple(sorted((known | sure).items()))
        micro = Micro(f"do {call.file}", (*needs, *asked), effects, either=unknown | either)
        self.op(call, micro)


def given_start(procedure: Procedure, machine: Machine) -> dict[str, bool]:
    """The facts that `starts` gives another value."""
    given: dict[str, bool] = {}
    for state in procedure.starts:
        given |= dict(word_literals(machine, state))
    return given


def build_program(
    procedure: Procedure, machine: Machine, called: dict[int, Program] | None = None, common: Common | None = None
) -> Program:
    """The program of a procedure on one variant's machine; `called` keeps those of procedures that others call.

    `common` keeps what the programs of several variants share.
    """
    if called is not None and id(procedure) in called:
        return called[id(procedure)]
    builder = Builder(procedure, machine, {} if called is None else called, common or Common())
    builder.body(procedure.body)
    end = Micro("end of the job")
    builder.add(Node(Kind.END, None, end))
    program = Program(machine, builder.nodes, {})
    given = given_start(procedure, machine)
    end.needs = (*end_needs(machine, program.written(), given, procedure.leaves), *builder.doings.house.at_end())
    program.start = {f: given.get(f, start_value(machine, f)) for f in program.facts() | program.written()}
    if called is not None:
        called[id(procedure)] = program
    return program
