"""Reads the work of a procedure into instructions for one variant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from procforge.model.base import Variant
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
    Ref,
    Repeat,
    Step,
    When,
)
from simulator import program as p
from simulator.ending import ending, stop_needs
from simulator.own import Own
from simulator.states import asks, at_start, gives, initially
from simulator.verbs import OPEN_NEEDS, POSITION, TABLE, Effect, Need, Row
from simulator.world import ENERGIES, VALVES, World, fact

NOT_WHILE_LENT = ("unlocked-untested", "returned-untested", "returned-with-air")


class Reader:
    """A procedure in one variant: `body` with the end, `start` the facts true at the start, `touched` what it sets."""

    def __init__(self, procedure: Procedure, variant: Variant) -> None:
        self.procedure = procedure
        self.world = World(procedure, variant)
        self.variant = variant
        statements = list(every(procedure.body))
        for work in statements:
            if isinstance(work, Check) or (isinstance(work, Measure) and judged(work)):
                for ref in work.objects:
                    self.world.asked.setdefault(ref.name, []).append(work.name)
        mine = list(every(procedure.body, variant))
        self.read_results = {w.check for w in statements if isinstance(w, (When, Repeat))}
        self.own = Own(self.world, mine)
        self.start = at_start(self.world)
        self.lent = False
        self.touched: set[str] = set()
        body = self.sequence(procedure.body)
        self.results = sorted(self.read_results)
        for one in p.flat(body):
            if isinstance(one, p.Micro):
                self.touched |= {f for f, _ in one.effects} | set(one.either) | set(one.unknown)
            elif isinstance(one, p.Outcome):
                self.touched |= {f for f, _ in one.accepted + one.rejected}
        for one in p.flat(body):
            if isinstance(one, p.Halt) or (isinstance(one, p.Micro) and one.place[2] == "may stop here"):
                one.needs += stop_needs(self.world, self.touched, self.start)
        self.demands = ending(self.world, self.touched, self.start)
        self.body: p.Body = (
            *body,
            p.Demand(("", "", "end of the job"), [*((r, ((lit,),)) for r, lit in self.demands), *self.own.ending()]),
        )

    # ---- statements --------------------------------------------------------------------------
    def sequence(self, works: tuple[AnyWork, ...]) -> p.Body:
        """Statements one after the other; those not for the variant are nothing."""
        found: list[p.Instruction] = []
        for work in works:
            if work.only_for.holds(self.variant):
                found += self.one(work)
        return tuple(found)

    def one(self, work: AnyWork) -> list[p.Instruction]:
        """The instructions of one statement."""
        return list(getattr(self, f"read_{type(work).__name__.lower()}")(work))

    def read_group(self, work: Group) -> list[p.Instruction]:
        if work.form == "any-order" or work.form == "together":
            return [p.Lanes(tuple(self.sequence(lane) for lane in work.lanes), work.form == "together")]
        if work.form == "either":
            arms = tuple((str(n), self.sequence(lane)) for n, lane in enumerate(work.lanes))
            return [p.Choice(place(work, "either"), arms)]
        if work.form == "lend-back":
            before, self.lent = self.lent, True
            inner = [i for lane in work.lanes for i in self.sequence(lane)]
            self.lent = before
            lent = p.Micro(place(work, "lend back"), [("lent-back-not-clear", ((("area-clear", True),),))])
            unlocked = [
                r.name
                for s in every(tuple(w for lane in work.lanes for w in lane), self.variant)
                if isinstance(s, Step) and s.verb == "unlock"
                for r in s.objects
                if self.world.kind(r.name) in VALVES
            ]
            again: p.Asked = [
                ("lent-back-not-isolated", (((fact(word, d), True),),))
                for d in dict.fromkeys(unlocked)
                for word in ("set", "locked")
            ]
            return [lent, *inner, p.Demand(place(work, "lent back"), again)]
        return [i for lane in work.lanes for i in self.sequence(lane)]

    def read_ask(self, work: Ask) -> list[p.Instruction]:
        return [p.Choice(place(work, "ask"), (("yes", self.sequence(work.yes)), ("no", self.sequence(work.no))))]

    def read_when(self, work: When) -> list[p.Instruction]:
        then, otherwise = self.sequence(work.body), self.sequence(work.otherwise)
        return [p.Read(work.check, *((then, otherwise) if work.accepted else (otherwise, then)))]

    def read_repeat(self, work: Repeat) -> list[p.Instruction]:
        return [p.Repeat(work.check, self.sequence(work.body), self.sequence(work.otherwise or ()), work.times)]

    def read_mark(self, work: Mark) -> list[p.Instruction]:
        if work.form == "note":
            return []
        if work.form == "stop":
            return [p.Halt(place(work, "stop here"), [])]
        every_one = self.world.of_kind(*ENERGIES)
        refills = [e for e in every_one if self.world.items[e].reaccumulates]
        ages = [e for e in every_one if e in refills or self.world.items[e].proof_good_for is not None]
        stale, words = {
            "may-stop": (ages, ("proved", "witnessed")),
            "handover": (every_one, ("proved", "witnessed")),
            "wait": (refills, ("proved",)),
        }[work.form]
        effects = [(fact(w, e), False) for e in stale for w in words]
        return [p.Micro(place(work, "may stop here" if work.form == "may-stop" else work.form), effects=effects)]

    def read_hold(self, work: Hold) -> list[p.Instruction]:
        micro = p.Micro(place(work, f"{work.point} {work.name}"))
        for ref in work.sees:
            if self.world.kind(ref.name) in ENERGIES:
                micro.needs.append(("hold-before-proof", (((fact("proved", ref.name), True),),)))
                micro.effects.append((fact("witnessed", ref.name), True))
            elif ref.name in self.world.items:
                micro.needs += [("hidden-before-hold", f) for f in asks(self.world, "bare", ref.name)]
        micro.effects.append((fact("released", work.name), True))
        self.own.add(work, [micro])
        return [micro]

    def read_check(self, work: Check) -> list[p.Instruction]:
        micro = p.Micro(place(work, f"check {work.name}"))
        self.own.add(work, [micro])
        accepted, rejected = self.judgement(work)
        return [micro, p.Outcome(place(work, "outcome"), work.result, accepted, rejected)]

    def read_measure(self, work: Measure) -> list[p.Instruction]:
        micro = p.Micro(place(work, f"measure {work.name}"))
        self.own.add(work, [micro])
        accepted, rejected = self.judgement(work) if judged(work) else ([], [])
        if work.result in self.read_results:
            return [micro, p.Outcome(place(work, "outcome"), work.result, accepted, rejected)]
        micro.effects += accepted
        return [micro]

    def judgement(self, work: Check | Measure) -> tuple[list[tuple[str, bool]], list[tuple[str, bool]]]:
        """The facts an acceptance and a rejection set."""
        facts: list[str] = []
        for ref in work.objects:
            if ref.name in self.world.items:
                names = [work.name, *(c for c in self.world.demanded(ref.name) if c == "any")]
                facts += [fact(f"fit {ref.name} /", c) for c in names]
        return [(f, True) for f in facts], [(f, False) for f in facts]

    # ---- steps -------------------------------------------------------------------------------
    def read_step(self, work: Step) -> list[p.Instruction]:
        passed: list[tuple[str, bool]] = []
        micros: list[p.Micro] = []
        for ref in work.objects or (None,):
            micro = p.Micro(place(work, f"{work.verb} {ref.name}" if ref else work.text or work.verb))
            row = self.row(work, ref)
            if ref is not None and row is not None:
                micro.needs += self.needs(row.needs, ref.name, work)
                micro.effects += self.effects(row.effects, ref.name, work)
                given = self.effects(row.passed, ref.name, work)
                if self.is_read(work):
                    passed += given
                else:
                    micro.effects += given
            micros.append(micro)
        self.own.add(work, micros)
        if not self.is_read(work):
            return list(micros)
        return [*micros, p.Outcome(place(work, "outcome"), work.result, passed, [])]

    def is_read(self, work: Step) -> bool:
        """Whether a statement asks how the step went."""
        return bool(work.result) and work.result in self.read_results

    def row(self, work: Step, ref: Ref | None) -> Row | None:
        """The verb's row for the object, if there is one."""
        if ref is None:
            return None
        world, verb = self.world, work.verb
        kind = world.kind(ref.name)
        if verb in POSITION:
            if kind not in VALVES:
                return None
            # A valve that isolates in the position it has in service is isolated by it, not returned.
            back = not world.is_set_when(ref.name, POSITION[verb])
            row = TABLE["return" if back else "isolate"][0][1]
            return Row(row.needs + OPEN_NEEDS, row.effects) if verb == "open" else row
        item = world.items.get(ref.name)
        if verb == "return" and kind in VALVES and item.isolates and item.isolates == item.in_service:
            return TABLE["isolate"][0][1]  # back where it isolates
        kinds = {kind, "any"} if kind != "free" else {"free"}
        if verb in ("shut-down", "start"):
            kinds.add("machine")  # a procedure acts on one machine, whatever the step calls it
        rows = (TABLE.get(f"{verb} new", []) if ref.new else []) + TABLE.get(verb, [])
        return next((row for acts_on, row in rows if kinds & set(acts_on)), None)

    def needs(self, needs: tuple[Need, ...], it: str, step: Step) -> p.Asked:
        """The formulas of a row's needs."""
        found: p.Asked = []
        for state, whom, rule in needs:
            if self.lent and rule in NOT_WHILE_LENT:
                continue
            for entity in self.world.select(whom, it, step):
                found += [(rule, f) for f in asks(self.world, state, entity, step, it)]
        return list(dict.fromkeys(found))

    def effects(self, effects: tuple[Effect, ...], it: str, step: Step | None) -> list[tuple[str, bool]]:
        """The facts a row's effects set, in order."""
        found: list[tuple[str, bool]] = []
        for state, whom, value in effects:
            for entity in self.world.select(whom, it, step):
                found += gives(self.world, state, entity, value)
        return found

    # ---- calls and holes ---------------------------------------------------------------------
    def read_call(self, work: Call) -> list[p.Instruction]:
        callee = self.procedure.callees.get(work.file)
        if callee is None:
            return self.read_hole(Hole.make(where=work.where, words=tuple(self.world.items)))
        micro = p.Micro(place(work, f"do {work.file}"))
        if not callee.applies.holds(self.variant):
            micro.needs.append(("call-not-for-variant", ()))
        else:
            inner = Reader(callee, self.variant)
            demanded = dict(literal for _, literal in inner.demands)
            contract = [f for f in inner.concerned() if not local(f)]
            micro.needs += [("call-contract-not-met", (((f, initially(inner.start, f)),),)) for f in contract]
            micro.effects += list(demanded.items())
            self.own.call(callee, list(steps_in(callee, callee.body, self.variant, True)), micro)
            micro.either += [f for f in sorted(inner.touched) if not local(f) and f not in demanded]
        return [micro]

    def concerned(self) -> list[str]:
        """Every fact this procedure needs, sets or compares."""
        found: dict[str, None] = {}
        for one in p.flat(self.body):
            if isinstance(one, (p.Micro, p.Halt, p.Demand)):
                found |= {f: None for _, formula in one.needs for alternative in formula for f, _ in alternative}
            if isinstance(one, p.Micro):
                found |= dict.fromkeys([f for f, _ in one.effects])
            if isinstance(one, p.Outcome):
                found |= dict.fromkeys([f for f, _ in one.accepted + one.rejected])
        return list(found)

    def read_hole(self, work: Hole) -> list[p.Instruction]:
        micro = p.Micro(place(work, "a line not read"), cost=0)
        unknown: dict[str, None] = dict.fromkeys(("told", "stopped", "area-clear"))
        supplies = [w for w in work.words if self.world.kind(w) == "supply"]
        for name in work.words:
            unknown |= dict.fromkeys(f for f, _ in self.could_set(name, supplies))
        for word in work.words:
            unknown |= dict.fromkeys((fact("released", word), fact("made", word)))
            unknown |= {fact(f"fit {n} /", c): None for n in self.world.items for c in self.judgements(n) if c == word}
        micro.unknown = list(unknown)
        return [micro]

    def judgements(self, name: str) -> list[str]:
        """The checks of an item that can be judged at all."""
        judgeable = ("part", "safety-device", "guard", "fastener", "seal")
        return self.world.checks(name) if self.world.kind(name) in judgeable else []

    def could_set(self, name: str, supplies: list[str]) -> list[tuple[str, bool]]:
        """What any verb could set on an item."""
        kind = self.world.kind(name)
        if kind == "free":
            return []
        with_supplies: Any = Step.make(verb="", tools=tuple(Ref.make(name=s) for s in supplies))
        found: list[tuple[str, bool]] = []
        for rows in TABLE.values():
            for acts_on, row in rows:
                if kind in acts_on:
                    found += self.effects(row.effects + row.passed, name, with_supplies)
        found += [(fact(f"fit {name} /", c), True) for c in self.judgements(name)]
        return found


def place(work: Any, words: str) -> p.Place:
    """Where a statement stands, with the words of one of its micro-steps."""
    return work.id, work.where.place, words


def local(about: str) -> bool:
    """Whether a fact means nothing outside its procedure: holds, own facts, house rules."""
    return about.startswith(("released ", "made ", "done ", "allowed "))


def judged(work: Measure) -> bool:
    """A reading with limits that is not only noted as found."""
    return work.limit is not None and not work.as_found


def every(works: tuple[AnyWork, ...], variant: Variant | None = None) -> list[AnyWork]:
    """All statements, inner ones too; for a variant, without what it skips."""
    found: list[AnyWork] = []
    for work in works:
        if variant is not None and not work.only_for.holds(variant):
            continue
        found.append(work)
        inner: tuple[tuple[AnyWork, ...], ...] = ()
        if isinstance(work, Group):
            inner = work.lanes
        elif isinstance(work, Ask):
            inner = (work.yes, work.no)
        elif isinstance(work, When):
            inner = (work.body, work.otherwise)
        elif isinstance(work, Repeat):
            inner = (work.body, work.otherwise or ())
        for body in inner:
            found += every(body, variant)
    return found


def steps_in(
    procedure: Procedure, works: tuple[AnyWork, ...], variant: Variant, sure: bool
) -> Iterator[tuple[Step, bool]]:
    """The steps of a called procedure and of those it calls, with whether every way through does them."""
    for work in works:
        if not work.only_for.holds(variant):
            continue
        if isinstance(work, Step):
            yield work, sure
        elif isinstance(work, Group):
            for lane in work.lanes:
                yield from steps_in(procedure, lane, variant, sure and work.form != "either")
        elif isinstance(work, Call):
            called = procedure.callees.get(work.file)
            if called is not None:
                yield from steps_in(called, called.body, variant, sure)
        else:
            for body in (getattr(work, n, None) for n in ("yes", "no", "body", "otherwise")):
                yield from steps_in(procedure, body or (), variant, False)
