"""Faults of the proof to findings: one finding a slip, its shortest way, the state after each step."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.analysis.machine import Machine
from procforge.analysis.program import Program
from procforge.analysis.proof import Fault
from procforge.analysis.states import Literal
from procforge.findings import Finding, Mark, Severity
from procforge.model.base import Variant
from procforge.model.procedure import Procedure
from procforge.rules.base import Rule
from procforge.rules.slips import START, Makers, Order, Slip, grouped, lost_rules
from procforge.rules.story import Storyteller, item_of
from procforge.rules.wording import house_words, said


def findings_of(
    procedure: Procedure,
    faults: Sequence[Fault],
    rules: dict[str, Rule],
    all_variants: tuple[Variant, ...],
    told: frozenset[str] = frozenset(),
) -> list[Finding]:
    """One finding for each fact that is wrong, the earliest fault first, the rest of that fact under `also`."""
    lost = lost_rules(procedure)
    stories = [(f, Storyteller(procedure, f)) for f in faults if f.violation.must.about not in lost]
    stories = [(f, s) for f, s in stories if not told & s.judged_by()]
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
        spade = fact.startswith("in ") and story.machine.kind(item_of(fact)) == "temporary"
        family = "isolation" if spade else _TOGETHER.get(fact.partition(" ")[0], "")
        item = item_of(fact) if family == "seal" else ""
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
    name = item_of(fact)
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
    if name == "never-judged":
        name = story.judgement()
    elif fault.work is None and story.promise() is not None:
        name = "left-otherwise"
    rule = rules[name]
    house = story.house_rule()
    fact, value = story.wrong()
    work = fault.work
    undone = story.undone_at()
    span = story.span_of(fault.violation.node) if work is not None else story.left_at()
    state = story.said(fact, value) if fact else ""
    words = {
        "about": said(procedure.equipment, story.must.about), "thing": said(procedure.equipment, item_of(fact)), "state": state,
        "check": fact.partition(" / ")[2], "hold": story.must.about, "verb": story.verb(),
        **(house_words(house) if house is not None else {}),
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
                f"{other.violation.rule}, {f'line {place}' if place else 'at the end'}: {tale.said(*tale.wrong()) if tale.wrong()[0] else ''}"
            )
    names = tuple(v.name for v in fault.variants)
    return Finding(
        rule.name, Severity.ERROR, rule.message.format(**words), span, rule.label.format(**words) if work is not None else "left so from here", tuple(marks), story.beats(),
        () if len(names) == len(all_variants) and len(names) > 1 else names, rule.why.format(**words), (house.basis if house is not None else "") or rule.basis, rule.mend.format(**words), tuple(also),
    )  # fmt: skip
