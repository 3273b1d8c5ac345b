"""Questions that several rules ask of a case."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import pairwise

from procforge.analysis.machine import Machine
from procforge.model.base import Valued, Variant, pick
from procforge.model.equipment import AnyThing, Consumable, Fastener, Gauge, Seal, Solid, Torque
from procforge.model.procedure import AnyWork, Ask, Check, Group, Hold, Hole, Measure, Ref, Repeat, Step, Waiver, When
from procforge.model.tree import bodies, walk
from procforge.model.verbs import by_name, words
from procforge.quantities import Quantity, comparable, read_number
from procforge.resolve.symbols import DEFINING
from procforge.rules.base import Case
from procforge.rules.wording import title
from procforge.syntax.mistakes import close, guesses
from procforge.syntax.order import FIRST
from procforge.text import Span

PATTERNS = ("cross", "circular", "none")
#: First words that end what stands under a definition.
_ENDS = DEFINING | {"hazard", "unit", "section", "procedure", "equipment"}
#: Verbs that lift a part; a spare is taken from the store in its own way (`renew`, `exchange`).
LIFTING = frozenset({"remove", "fit", "lift"})
SEVERITIES = ("death", "serious", "minor", "none")
#: Verbs by which a valve or breaker isolates, and is taken back.
ISOLATING = frozenset({"isolate", "lock", "unlock", "return", "open", "shut", "switch-on", "switch-off"})


# ---- instruments and pressures -----------------------------------------------------------------
def accuracy_ratio(gauge: Gauge, limit: Quantity) -> Fraction | None:
    """The limit over the gauge's error (class percent of its span); None where it can't be told."""
    if gauge.low is None or gauge.high is None or not gauge.accuracy or not comparable(gauge.high, limit):
        return None
    accuracy = read_number(gauge.accuracy)
    if not isinstance(accuracy, Fraction):
        return None
    error = accuracy * (gauge.high.si - gauge.low.si) / 100
    zero = Quantity(Fraction(0), limit.unit, "0").si
    return (limit.si - zero) / error if error > 0 else None


def test_limit(machine: Machine, space: str) -> Quantity | None:
    """The most test pressure a space may take: its test limit, else its pressure."""
    energy = machine.energies.get(space)
    if energy is None:
        return None
    limit = pick(energy.test_limit, machine.variant) or pick(energy.pressure, machine.variant)
    return limit if isinstance(limit, Quantity) else None


def lifted(case: Case, work: Step) -> Iterator[tuple[Ref, Quantity, Machine]]:
    """What a step lifts, with its mass, by item and variant."""
    for ref in work.objects:
        item = case.equipment.items.get(ref.name)
        if work.verb not in LIFTING or not isinstance(item, Solid | Fastener):
            continue
        for machine in case.machines:
            mass = pick(item.mass, machine.variant)
            if isinstance(mass, Quantity) and work.only_for.holds(machine.variant) and ref.name in machine.items:
                yield ref, mass, machine


def torques(case: Case, work: Step) -> Iterator[tuple[AnyThing, Torque, Machine]]:
    """The torques a step reaches, by item and variant: its own, else the machine's."""
    for ref in work.objects:
        item = case.equipment.items.get(ref.name)
        if isinstance(item, Fastener):
            for machine in case.machines:
                torque = work.torque or pick(item.torque, machine.variant)
                here = work.only_for.holds(machine.variant) and ref.name in machine.items
                if isinstance(torque, Torque) and here and applies(case, work, machine.variant):
                    yield item, torque, machine


def pass_lists(case: Case) -> Iterator[tuple[Span, tuple[Quantity, ...]]]:
    """All lists of tightening passes, of the machine and of steps."""
    for item in case.equipment.items.values():
        if isinstance(item, Fastener) and item.passes and item.name == item_first(case, item):
            yield under(item.where, "passes"), item.passes
    for work in case.works:
        if isinstance(work, Step) and work.passes:
            yield work.passes_where, work.passes


def rising(passes: tuple[Quantity, ...]) -> bool:
    """Whether tightening passes rise and end at 100 %."""
    values = [q.value for q in passes]
    return all(a < b for a, b in pairwise(values)) and (not values or values[-1] == 100)


def item_first(case: Case, item: AnyThing) -> str:
    """The first of the items one definition made: findings on a definition are given once."""
    return case.equipment.groups.get(item.base, (item.name,))[0]


def under(where: Span, word: str) -> Span:
    """The line below a definition or head that has a word of its own form; the place itself if none has."""
    source = where.source
    for number in range(where.line, min(where.line + 30, len(source.lines)) + 1):
        text = source.line(number)
        first = text.split()[:1]
        if number > where.line and first and first[0] in _ENDS:
            break
        found = re.search(rf"(?<![\w-]){word}(?![\w-])", text.partition("#")[0])
        if found:
            return Span(source, number, found.start() + 1, len(text.partition("#")[0].rstrip()) - found.start())
    return where


# ---- what could not be read ---------------------------------------------------------------------
def unread(case: Case) -> frozenset[str]:
    """Every word of the lines that could not be read, with what their first words may have been meant to be."""
    found: set[str] = set()
    for work in case.works:
        # beside a reading of a result that nothing gives a hole stands too; that line was read
        if isinstance(work, Hole) and not {"when", "repeat"} & set(_opened_as(work)):
            found |= {*work.words, *_opened_as(work)}
            found |= {word.partition(" of ")[0] for word in work.words}
    return frozenset(found)


def _opened_as(hole: Hole) -> tuple[str, ...]:
    first = hole.where.source.line(hole.where.line).split(maxsplit=1)[:1]
    return guesses(first[0]) or close(first[0], tuple(FIRST), 2, 0.5) if first else ()


def given(values: tuple[Valued, ...], variant: Variant) -> bool:
    """Whether the machine file gives the variant a value, be it one that could not be read."""
    return any(v.scope.holds(variant) for v in values)


# ---- variants ----------------------------------------------------------------------------------
def applies(case: Case, work: AnyWork, variant: Variant) -> bool:
    """Whether the statement is done in the variant at all: no block around it leaves the variant out."""

    def inside(body: tuple[AnyWork, ...]) -> bool | None:
        for entry in body:
            here = entry.only_for.holds(variant)
            if entry is work:
                return here
            for inner in bodies(entry):
                found = inside(inner)
                if found is not None:
                    return found and here
        return None

    return bool(inside(case.procedure.body))


def done_in(case: Case) -> list[tuple[AnyWork, frozenset[Variant]]]:
    """Every statement in written order, with the variants it is done in, those of the blocks around it counted."""
    found: list[tuple[AnyWork, frozenset[Variant]]] = []

    def inside(body: tuple[AnyWork, ...], around: frozenset[Variant]) -> None:
        for work in body:
            here = frozenset(v for v in around if work.only_for.holds(v))
            found.append((work, here))
            for inner in bodies(work):
                inside(inner, here)

    inside(case.procedure.body, frozenset(case.variants))
    return found


def forbidden(machine: Machine, work: Step | Check | Measure) -> Iterator[tuple[Span, str]]:
    """What a step uses that the machine file rules out in this variant."""
    equipment, variant = machine.equipment, machine.variant
    objects = [(r, equipment.items[r.name]) for r in work.objects if r.name in equipment.items]
    tools = [(r, equipment.items[r.name]) for r in work.tools if r.name in equipment.items]
    fluids = {w for name in machine.kinds("pressure-space") for w in machine.fluid(name)[:1]}
    for ref, item in [*tools, *objects]:
        if isinstance(item, (Consumable, Solid, Seal)):
            if variant.service in item.not_for or variant.model in item.not_for:
                yield ref.where, f"{title(equipment, ref.name)} is not for {variant.service or variant.model}"
            others = {i.base for _, i in objects} | {i.name for _, i in objects} | fluids
            clash = next((n for n in item.not_with if n in others), None)
            if clash is not None and (ref, item) in tools:
                yield ref.where, f"{title(equipment, ref.name)} must not meet {title(equipment, clash)}"
        if isinstance(item, Consumable) and (ref, item) in tools and ref.name not in machine.items:
            yield ref.where, f"{title(equipment, ref.name)} is not for {variant.name}"
    for _, item in objects:
        met = next((r for r, t in tools if t.base in getattr(item, "not_with", ())), None)
        if met is not None:
            yield met.where, f"{title(equipment, met.name)} must not meet {title(equipment, item.name)}"
    if isinstance(work, Step) and work.part_kind:
        for ref, item in objects:
            kinds = pick(getattr(item, "kinds", ()), variant)
            if kinds is not None and work.part_kind not in kinds:
                yield (
                    work.part_kind_where,
                    f"{title(equipment, ref.name)} of kind `{work.part_kind}` is not for {variant.name}: {' or '.join(kinds)}",
                )


# ---- people and names --------------------------------------------------------------------------
def first_role(case: Case) -> str:
    """Who does a step that says no role: the first of the crew."""
    return case.procedure.crew[0].role if case.procedure.crew else ""


def crew_of(case: Case, role: str) -> int:
    """How many of a role there are."""
    return sum(c.count for c in case.procedure.crew if c.role == role)


def in_file(case: Case, where: Span) -> bool:
    """Whether a place is in the procedure's own file."""
    return where.source.path == case.procedure.file


def branch_holds(body: tuple[AnyWork, ...], branched: bool) -> Iterator[Hold]:
    """Holds in a branch, round or lane that neither see anything nor stand before a step."""
    for work in body:
        if isinstance(work, Hold) and branched and not work.sees and not work.before:
            yield work
        inner = (
            branched
            or isinstance(work, (Ask, When, Repeat))
            or (isinstance(work, Group) and work.form in ("any-order", "together", "either"))
        )
        for arm in bodies(work):
            yield from branch_holds(arm, inner)


def named(case: Case, name: str) -> bool:
    """Whether a house rule or a wait goes by a step's name."""
    rules = case.procedure.house_rules
    return any(name in (*(p[0] for p in r.events), *(e[0] for e in r.undone_by)) for r in rules)


def row_reads(verb: str) -> bool:
    """Whether a verb gives a result."""
    return any(r.reads for r in by_name().get(verb, ()))


def on_nothing(verb: str) -> bool:
    """Whether a verb may stand without an object."""
    return verb in ("carry-out", "clear", "observe", "record")


def unused(case: Case) -> Iterator[tuple[str, str, Span]]:
    """What the procedure's own file declares and no statement uses."""
    used = set(case.procedure.used) | unread(case)
    procedure = case.procedure
    for item in case.equipment.items.values():
        if (
            in_file(case, item.where)
            and item.kind in ("tool", "consumable", "temporary", "supply", "gauge")
            and item.base not in used
        ):
            yield item.kind, item.base, item.where
    for fact in procedure.facts:
        rules = {p for r in procedure.house_rules for p in (*(e[0] for e in r.events), *(s.name for s in r.states))}
        if in_file(case, fact.where) and fact.name not in used and fact.name not in rules:
            yield "fact", fact.name, fact.where
    for name, called in procedure.blocks.items():
        if not called and name not in used:
            yield "block", name, _block_where(case, name)


def _block_where(case: Case, name: str) -> Span:
    source = case.procedure.where.source
    for number, line in enumerate(source.lines, 1):
        words_ = line.split()
        if words_[:2] == ["block", name]:
            column = line.index("block") + 1
            return Span(source, number, column, len(line.strip()))
    return case.procedure.where


def waivers(case: Case) -> Iterator[tuple[AnyWork, Waiver]]:
    """Every waiver with its statement."""
    for work in walk(case.procedure.body):
        for waiver in getattr(work, "waivers", ()):
            yield work, waiver


def not_waivable() -> frozenset[str]:
    """Rules that can't be waived."""
    from procforge.rules.registry import RULES

    return frozenset(r.name for r in RULES if not r.waivable)


def all_names() -> tuple[str, ...]:
    """The names of all rules."""
    from procforge.rules.registry import RULES

    return tuple(r.name for r in RULES)


def starts_with_work(text: str) -> str:
    """The trade verb that a sentence of a panel starts with, empty if none does."""
    for sentence in text.replace("!", ".").split("."):
        first = sentence.strip().split(" ")[0].lower().strip(",")
        if first in words() and first not in (
            "clear",
            "support",
            "observe",
            "open",
            "shut",
            "lift",
            "start",
            "return",
            "vent",
            "drain",
            "mark",
            "charge",
            "count",
        ):
            return first
    return ""


def real_date(text: str) -> bool:
    """Whether a text is a date of the calendar, year-month-day."""
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True
