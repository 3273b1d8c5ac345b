"""One fault's path as a story: the values of its facts along it, what undid them, what was skipped."""

from __future__ import annotations

from procforge.analysis.machine import Machine
from procforge.analysis.program import Kind, Node
from procforge.analysis.proof import Fault
from procforge.analysis.states import Literal, word_literals
from procforge.analysis.stride import Stride
from procforge.findings import Beat
from procforge.model.equipment import State
from procforge.model.procedure import AnyWork, HouseRule, Procedure, Step
from procforge.rules.wording import fact_words, pressure_words, work_words
from procforge.text import Span

#: What a need that nothing can meet says; without an entry it is one of a call.
NEVER_MET = {"purged-with-vent-shut": "the machine has no vent of it"}


class Storyteller:
    """Tells one fault's path: the values of its facts along it, what undid them, what was skipped."""

    def __init__(self, procedure: Procedure, fault: Fault) -> None:
        self.procedure = procedure
        self.fault = fault
        self.program = fault.program
        self.machine: Machine = fault.program.machine
        self.must = fault.violation.must
        self.facts = [f for way in self.must.formula for f, _ in way]
        self.subjects = self._subjects()

    def _subjects(self) -> set[str]:
        """Items whose changes belong to the story: those of the need, and what isolates and vents them."""
        names = {self.must.about, *(item_of(f) for f in self.facts)} - {""}
        for name in list(names):
            if name in self.machine.energies:
                for feed in self.machine.feeds[name]:
                    for scheme in feed:
                        names |= {*scheme.blocks, *((scheme.bleed,) if scheme.bleed else ())}
                if self.machine.kind(name) == "pressure-space":
                    names |= {v.valve for v in self.machine.vents(name)}
        return names

    # ---- what failed -------------------------------------------------------------------------
    def wrong(self) -> tuple[str, bool]:
        """The literal that is wrong in the way that was meant, as the fact's value at the fault.

        That is a way that held before a step on the path spoilt it, else the one of which most holds, else the first.
        """
        seen, values = self._values_at_fault()
        ways = [way for way in self.must.formula if any(values.get(f) != w for f, w in way)]
        if not ways:
            fact, wanted = self.must.formula[0][0] if self.must.formula else ("", True)
            return fact, not wanted
        if self.fault.violation.rule.startswith("stopped-"):
            way = ways[-1]  # `locked` says more than `set as at the start`, `relieved` more than `closed`
        else:
            way = min(ways, key=lambda way: (not seen.issuperset(way), -sum(values.get(f) == w for f, w in way)))
        return next((f, not w) for f, w in way if values.get(f) != w)

    def _values_at_fault(self) -> tuple[set[Literal], dict[str, bool]]:
        """Every value that the facts had on the path, and the last one."""
        values = {f: self.program.start.get(f, False) for f in self.facts}
        seen = set(values.items())
        for stride in self.fault.violation.path[:-1]:
            for fact, value in self._changes(stride):
                if fact in values:
                    values[fact] = value
                    seen.add((fact, value))
        return seen, values

    def _changes(self, stride: Stride) -> tuple[tuple[str, bool], ...]:
        node = self.program.nodes[stride.node]
        made = node.micro.effects if node.micro is not None else ()
        if node.kind == Kind.RESULT:
            made += node.accepted if stride.way == 0 else node.rejected
        return made

    def undone_at(self) -> Stride | None:
        """The last step on the path that made the fact wrong; None if none did.

        A rejection counts though the part was not judged sound before it either: it is what the fault hangs on.
        """
        fact, value = self.wrong()
        current = self.program.start.get(fact, False)
        last = None
        for stride in self.fault.violation.path[:-1]:
            for changed, to in self._changes(stride):
                if changed == fact and (to != current or fact.startswith("fit ")):
                    current = to
                    last = stride if to == value else None
        return last

    def judgement(self) -> str:
        """For a part that goes back unfit the rule that says what happened to it last."""
        fact, _ = self.wrong()
        last = "never-judged"
        for stride in self.fault.violation.path[:-1]:
            node = self.program.nodes[stride.node]
            if fact not in (f for f, _ in self._changes(stride)):
                continue
            if node.kind == Kind.RESULT:
                last = "rejected-part-refitted" if stride.way == 1 else "never-judged"
            elif isinstance(node.work, Step) and node.work.verb == "rebuild":
                last = "rebuilt-part-not-judged"
            else:
                last = "never-judged"
        return last

    def judged_by(self) -> set[str]:
        """The checks that a fault of a part's fitness hangs on: the one asked for, and the one that rejected it."""
        fact, _ = self.wrong()
        if not fact.startswith("fit "):
            return set()
        undone = self.undone_at()
        node = self.program.nodes[undone.node] if undone is not None else None
        rejecting = node.check.partition(" of ")[0] if node is not None and node.kind == Kind.RESULT else ""
        return {fact.partition(" / ")[2], rejecting} - {""}

    # ---- the beats ---------------------------------------------------------------------------
    def beats(self) -> tuple[Beat, ...]:
        """Every statement done on the path with the state after it, skipped ones shown; those beside the point are quiet."""
        found: list[Beat] = []
        values: dict[str, bool] = {}
        steps = list(self.fault.violation.path)
        for index, stride in enumerate(steps):
            node = self.program.nodes[stride.node]
            work = node.work
            if node.kind == Kind.ENTER or (node.kind == Kind.OP and node.micro is None and not node.skipped):
                continue
            last = index == len(steps) - 1
            if node.kind == Kind.END:
                found.append(Beat(self._end_span(), "end of the job", self._fault_words()))
                continue
            if work is None:
                continue
            made = self._changes(stride)
            changes = [c for c in made if c[0] in self.facts or values.get(c[0], self.program.start.get(c[0])) != c[1]]
            values |= dict(changes)
            told = [self.said(f, v) for f, v in changes if item_of(f) in self.subjects or f in self.facts]
            if node.skipped:
                found.append(
                    Beat(work.where, work_words(work), f"skipped on {self._variant()}", True, not self._touches(work))
                )
            elif node.kind in (Kind.RESULT, Kind.READ, Kind.CHOICE, Kind.ROUND):
                self._outcome(found, node, stride, told)
            else:
                state = self._fault_words() if last else _list(told)
                found.append(Beat(work.where, self._words(node), state, False, not told and not last))
        return _joined(found)

    def _outcome(self, found: list[Beat], node: Node, stride: Stride, told: list[str]) -> None:
        work = node.work
        assert work is not None
        if node.kind == Kind.ROUND:
            word = "another round" if stride.way == 0 else f"rejected {node.bound} times"
        else:
            word = node.labels[stride.way] if stride.way < len(node.labels) else ""
        if node.kind == Kind.RESULT and found and found[-1].span == work.where:
            found.pop()
        found.append(Beat(work.where, f"{work_words(work)}: {word}", _list(told), False, False))

    def _words(self, node: Node) -> str:
        work = node.work
        objects = getattr(work, "objects", ())
        if node.micro is not None and len(objects) > 1 and work is not None and work.kind == "step":
            return node.micro.words
        return work_words(work)

    def _touches(self, work: AnyWork) -> bool:
        names = {r.name for r in getattr(work, "objects", ())} | {r.name for r in getattr(work, "sees", ())}
        return bool(names & self.subjects)

    def verb(self) -> str:
        """The verb of the step at fault."""
        micro = self.program.nodes[self.fault.violation.node].micro
        return micro.words.partition(" ")[0] if micro else ""

    def _fault_words(self) -> str:
        fact, value = self.wrong()
        words = self.said(fact, value) if fact else NEVER_MET.get(self.fault.violation.rule, "not for this variant")
        space = item_of(fact)
        if fact.startswith("relieved ") and not value and (size := pressure_words(self.machine, space)):
            words += f" ({size})"
        return words

    def _variant(self) -> str:
        return self.fault.variants[0].name

    def span_of(self, index: int) -> Span:
        """The place of a node's statement; of the object it handles where the statement has several."""
        node = self.program.nodes[index]
        work = node.work
        if work is None:
            return self._end_span()
        if work.kind == "step" and len(work.objects) > 1:
            name = node.micro.words.partition(" ")[2] if node.micro else ""
            return next((r.where for r in work.objects if r.name == name), work.where)
        return work.where

    def left_at(self) -> Span:
        """Where a fault of the end is told: at the step that left it so, at the `leaves` line that asks for it, else last."""
        undone = self.undone_at()
        if undone is not None:
            return self.span_of(undone.node)
        promise = self.promise()
        return promise.where if promise is not None else self._end_span()

    def promise(self) -> State | None:
        """The condition of `leaves` that speaks of the wrong fact."""
        fact, _ = self.wrong()
        listed = (s for s in self.procedure.leaves if fact in (f for f, _ in word_literals(self.machine, s)))
        return next(listed, None)

    def house_rule(self) -> HouseRule | None:
        """The house rule at fault."""
        number = self.must.about.removeprefix("house-rule-")
        return self.procedure.house_rules[int(number) - 1] if number.isdigit() else None

    def said(self, fact: str, value: bool) -> str:
        """A fact and its value in plain words; that of a house rule by its events."""
        state, _, name = fact.partition(" ")
        number = name.removeprefix("house-rule-")
        if state == "done" and number.isdigit():
            rule = self.procedure.house_rules[int(number) - 1]
            first, answer = " ".join(rule.first).strip(), " ".join(rule.answer).strip()
            if answer:
                return f"{answer} is still to come" if value else f"no {answer} is asked for"
            return f"{first} is {'' if value else 'not '}done"
        return fact_words(self.machine, fact, value)

    def _end_span(self) -> Span:
        last = None
        for node in self.program.nodes:
            if node.work is not None:
                last = node.work.where
        return last or self.procedure.where


def item_of(fact: str) -> str:
    name = fact.partition(" ")[2]
    return name.partition(" / ")[0]


def _list(words: list[str]) -> str:
    words = list(dict.fromkeys(words))
    return ", ".join(words[:4]) + (", …" if len(words) > 4 else "")


def _joined(beats: list[Beat]) -> tuple[Beat, ...]:
    """The micro-steps of one statement are one beat, as the sheet has one line for them; the last one stands alone."""
    found: list[Beat] = []
    for number, beat in enumerate(beats):
        earlier = found[-1] if found else None
        if (
            earlier is None
            or earlier.span != beat.span
            or number == len(beats) - 1
            or earlier.skipped
            or beat.skipped
            or ": " in earlier.text[-12:]
        ):
            found.append(beat)
        else:
            told = f", {earlier.state}, "  # what is said of one thing is not said again for the next
            states = [s for s in (earlier.state, beat.state) if s and (s == earlier.state or f", {s}, " not in told)]
            line = beat.span.source.line(beat.span.line).strip()
            found[-1] = Beat(beat.span, line, ", ".join(states), False, earlier.quiet and beat.quiet)
    return tuple(found)
