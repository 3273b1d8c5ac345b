"""Faults of the proof to findings: one finding a fact, its shortest way, the state after each step."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.analysis.machine import Machine
from procforge.analysis.program import Kind, Node, Program
from procforge.analysis.proof import Fault
from procforge.analysis.search import Stride
from procforge.analysis.states import Literal, word_literals
from procforge.findings import Beat, Finding, Mark, Severity
from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Procedure, Step
from procforge.rules.base import Rule
from procforge.rules.slips import START, Makers, Order, Slip, grouped, lost_rules
from procforge.rules.wording import fact_words, pressure_words, title, work_words
from procforge.text import Span


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
        names = {self.must.about, *(_item(f) for f in self.facts)} - {""}
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
            told = [fact_words(self.machine, f, v) for f, v in changes if _item(f) in self.subjects or f in self.facts]
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

    def _fault_words(self) -> str:
        fact, value = self.wrong()
        words = fact_words(self.machine, fact, value) if fact else "not for this variant"
        space = _item(fact)
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
        fact, _ = self.wrong()
        for state in self.procedure.leaves:
            if fact in (f for f, _ in word_literals(self.machine, state)):
                return state.where
        return self._end_span()

    def _end_span(self) -> Span:
        last = None
        for node in self.program.nodes:
            if node.work is not None:
                last = node.work.where
        return last or self.procedure.where


def _item(fact: str) -> str:
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
            states = [s for s in (earlier.state, beat.state) if s]
            line = beat.span.source.line(beat.span.line).strip()
            found[-1] = Beat(beat.span, line, ", ".join(states), False, earlier.quiet and beat.quiet)
    return tuple(found)


def findings_of(
    procedure: Procedure, faults: Sequence[Fault], rules: dict[str, Rule], all_variants: tuple[Variant, ...]
) -> list[Finding]:
    """One finding for each fact that is wrong, the earliest fault first, the rest of that fact under `also`."""
    lost = lost_rules(procedure)
    stories = [(f, Storyteller(procedure, f)) for f in faults if f.violation.must.about not in lost]
    stories.sort(key=lambda s: (s[0].violation.length, rules[s[0].violation.rule].rank, s[0].violation.node))
    order = Order(procedure)
    made: dict[int, Makers] = {}

    def makers(number: int) -> Makers:
        machine = stories[number][1].machine
        if id(machine) not in made:
            made[id(machine)] = Makers(procedure, machine)
        return made[id(machine)]

    latest: dict[int, Latest] = {}
    for _, story in stories:
        if id(story.program) not in latest:
            latest[id(story.program)] = _latest(story.program)
    slips = [_slip(order, fault, story, latest[id(story.program)]) for fault, story in stories]
    found = []
    for group in grouped(slips, makers):
        head, *rest = [stories[n] for n in group]
        found.append(_finding(procedure, head, rest, rules, all_variants))
    return found


#: Facts that one slip undoes together.
_TOGETHER = {"seated": "seal", "spent": "seal"} | dict.fromkeys(
    ("set", "locked", "relieved", "proved", "witnessed", "gas-free"), "isolation"
)


Latest = dict[Literal, int]


def _latest(program: Program) -> Latest:
    """The last node that sets each fact to each value."""
    found: Latest = {}
    for number, node in enumerate(program.nodes):
        for literal in (*(node.micro.effects + node.micro.passed if node.micro else ()), *node.accepted):
            found[literal] = number
    return found


def _slip(order: Order, fault: Fault, story: Storyteller, latest: Latest) -> Slip:
    """What grouping needs to know of a fault."""
    fact, value = story.wrong()
    undone = story.undone_at()
    nodes, at = story.program.nodes, fault.violation.node
    micro = nodes[at].micro
    undone_by, undone_line, undone_place = ("", 0, "", ""), None, START
    if undone is not None:
        node = nodes[undone.node]
        spade = fact.startswith("in ") and story.machine.kind(_item(fact)) == "temporary"
        family = "isolation" if spade else _TOGETHER.get(fact.partition(" ")[0], "")
        item = _item(fact) if family == "seal" else ""
        undone_by = (family, id(node.work), node.micro.words if node.micro else "", item)
        undone_line = (node.work.where.source.path, node.work.where.line) if node.work is not None else None
        undone_place = order.place(node.work, undone.node)
    work = fault.work
    setter, again = latest.get((fact, not value), -1), latest.get((fact, value), -1)
    return Slip(
        fault.violation.rule, fact, value, undone_place, undone_by, undone_line, order.place(work, at),
        (work.where.source.path, work.where.line) if work is not None else None,
        frozenset(micro.effects + micro.passed) if micro else frozenset(),
        id(nodes[undone.node].work) if undone is not None else 0, id(work) if work is not None else 0,
        id(nodes[setter].work) if setter > at else 0, id(nodes[again].work) if again > at else 0, _parts(story.machine, fact),
    )  # fmt: skip


def _parts(machine: Machine, fact: str) -> frozenset[str]:
    """What a fastener holds or a seal seals, or the part itself."""
    name = _item(fact)
    return frozenset((name, *machine.held.get(name, ()), *machine.sealed.get(name, ())))


def _finding(
    procedure: Procedure,
    head: tuple[Fault, Storyteller],
    rest: list[tuple[Fault, Storyteller]],
    rules: dict[str, Rule],
    all_variants: tuple[Variant, ...],
) -> Finding:
    fault, story = head
    name = fault.violation.rule
    rule = rules[story.judgement() if name == "never-judged" else name]
    fact, value = story.wrong()
    work = fault.work
    undone = story.undone_at()
    span = story.span_of(fault.violation.node) if work is not None else story.left_at()
    state = fact_words(story.machine, fact, value) if fact else ""
    words = {
        "about": title(procedure.equipment, story.must.about), "thing": title(procedure.equipment, _item(fact)), "state": state,
        "check": fact.partition(" / ")[2], "hold": story.must.about,
    }  # fmt: skip
    marks: list[Mark] = []
    if undone is not None and work is not None:
        node = story.program.nodes[undone.node]
        if node.work is not None and node.work.where != span:
            marks.append(Mark(node.work.where, f"from here {state}"))
    for beat in story.beats():
        if beat.skipped and not beat.quiet and not any(m.span == beat.span for m in marks):
            skipped = next(
                (n.work for n in story.program.nodes if n.skipped and n.work is not None and n.work.where == beat.span),
                None,
            )
            where = skipped.only_where if skipped is not None and skipped.only_where.line else beat.span
            marks.append(Mark(where, beat.state))
    seen = {(rule.name, span.line)}
    also = []
    for other, tale in rest:
        place = other.work.where.line if other.work is not None else 0
        if (other.violation.rule, place) not in seen:
            seen.add((other.violation.rule, place))
            also.append(
                f"{other.violation.rule}, {f'line {place}' if place else 'at the end'}: {fact_words(tale.machine, *tale.wrong()) if tale.wrong()[0] else ''}"
            )
    names = tuple(v.name for v in fault.variants)
    return Finding(
        rule.name, Severity.ERROR, rule.message.format(**words), span, rule.label.format(**words) if work is not None else "left so from here", tuple(marks), story.beats(),
        () if len(names) == len(all_variants) and len(names) > 1 else names, rule.why.format(**words), rule.basis, rule.mend.format(**words), tuple(also),
    )  # fmt: skip
