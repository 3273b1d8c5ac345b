"""Duties that are no matter of order, typed by hand from grammar/README.md and the pages of `procforge why`.

They decide the slips that the simulator cannot see: a bound left out, the wrong gauge, a hold released by whoever did
it. Like the simulator this takes the resolved models and shares no code with the rules.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction

from simulator.verbs import TABLE
from simulator.world import ENERGIES, World

from procforge.model.base import Variant
from procforge.model.procedure import (
    AnyWork,
    Ask,
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

Found = Iterator[str]
#: Verbs that give a result.
READS = ("prove", "try-start", "leak-test", "gas-test")
LISTED = re.compile(r"^(?:tool|consumable|temporary|fact|block) ([\w-]+)", re.M)


class Done:
    """The statements done in one variant, in written order, with those around each."""

    def __init__(self, procedure: Procedure, variant: Variant) -> None:
        self.procedure, self.variant = procedure, variant
        self.world = World(procedure, variant)
        self.works: list[tuple[AnyWork, tuple[AnyWork, ...]]] = []
        self._walk(procedure.body, ())

    def _walk(self, works: tuple[AnyWork, ...], around: tuple[AnyWork, ...]) -> None:
        for work in works:
            if not work.only_for.holds(self.variant):
                continue
            self.works.append((work, around))
            for body in inner(work):
                self._walk(body, (*around, work))


def inner(work: AnyWork) -> tuple[tuple[AnyWork, ...], ...]:
    """The bodies of a block."""
    match work:
        case Group():
            return work.lanes
        case Ask():
            return (work.yes, work.no)
        case When():
            return (work.body, work.otherwise)
        case Repeat():
            return (work.body, work.otherwise or ())
    return ()


def broken(procedure: Procedure, variants: tuple[Variant, ...], text: str) -> list[str]:
    """Every duty that is broken in some variant, in words."""
    found: list[str] = []
    met: set[int] = set()
    there: dict[int, AnyWork] = {}
    for variant in variants:
        done = Done(procedure, variant)
        for duty in DUTIES:
            found += duty(done)
        walked(procedure.body, variant, met)
        there |= {id(w): w for w, _ in done.works if not isinstance(w, (Group, Mark))}
    found += [f"no way comes to {w.id}" for key, w in there.items() if key not in met]
    plain = re.sub(r'"[^"]*"', "", text)
    for name in LISTED.findall(text):
        if len(re.findall(rf"(?<![\w-]){re.escape(name)}(?![\w-])", plain)) < 2:
            found.append(f"{name} is listed and not used")
    return list(dict.fromkeys(found))


def walked(works: tuple[AnyWork, ...], variant: Variant, met: set[int]) -> bool:
    """Notes the statements that some way comes to; whether some way goes on after them. Results may be any."""
    for work in works:
        if not work.only_for.holds(variant):
            continue
        met.add(id(work))
        if isinstance(work, Mark) and work.form == "stop":
            return False
        ways = [walked(body, variant, met) for body in inner(work)]
        if isinstance(work, Repeat):
            ways = ways[:1]
        all_of_them = isinstance(work, Group) and work.form != "either"
        if ways and not (all(ways) if all_of_them else any(ways)):
            return False
    return True


def results(done: Done) -> Found:
    """A result is read only after something gave it (in rounds: something in the procedure); each check's is read."""
    given: set[str] = set()
    ever = {getattr(w, "result", "") for w, _ in done.works}
    readers = {w.check for w, _ in done.works if isinstance(w, (When, Repeat))}
    for work, _ in done.works:
        if (
            isinstance(work, When)
            and work.check not in given
            and any(w.only_for.holds(done.variant) for w in (*work.body, *work.otherwise))
        ):
            yield f"{work.check} is read before it is done"
        if isinstance(work, Repeat) and work.check not in ever:
            yield f"nothing gives {work.check}"
        if isinstance(work, Check) and work.result not in readers:
            yield f"nothing reads {work.result}"
        if isinstance(work, Hole):
            yield "a line cannot be read"
        given.add(getattr(work, "result", ""))


def named_results(done: Done) -> Found:
    """A reading step with a name has it for something."""
    names = {n for r in done.procedure.house_rules for n in (r.first[0], r.then[0])}
    readers = {w.check for work in [done.procedure] for w in everything(work.body) if isinstance(w, (When, Repeat))}
    for work, _ in done.works:
        if (
            isinstance(work, Step)
            and work.as_name
            and work.verb in READS
            and work.result not in readers
            and work.as_name not in names
        ):
            yield f"nothing reads {work.as_name}"


def everything(works: tuple[AnyWork, ...]) -> Iterator[AnyWork]:
    """All statements, inner ones too."""
    for work in works:
        yield work
        for body in inner(work):
            yield from everything(body)


def rounds(done: Done) -> Found:
    """Rounds have a bound, a way on after the last one, and run the check they wait for."""
    for work, _ in done.works:
        if isinstance(work, Repeat):
            if not work.times:
                yield "rounds without a bound"
            elif work.otherwise is None:
                yield "rounds without a way out"
            if work.check not in {getattr(w, "result", "") for w in everything(work.body)}:
                yield f"the rounds never run {work.check}"


def gauges(done: Done) -> Found:
    """A space is proved at its own gauge, whose error (class percent of the span) goes four times into the limit."""
    for work, _ in done.works:
        if not isinstance(work, Step) or work.verb != "prove":
            continue
        spaces = [r.name for r in work.objects if done.world.kind(r.name) == "pressure-space"]
        named = work.at.name if work.at is not None else ""
        if named and any(named not in done.world.gauges(s) for s in spaces):
            yield f"{named} is not a gauge of the space"
        gauge = done.world.items.get(named)
        high = work.limit.high if work.limit is not None else None
        if gauge is not None and high is not None and gauge.high is not None and gauge.accuracy:
            error = Fraction(gauge.accuracy) * (gauge.high.si - gauge.low.si) / 100
            zero = high.si - high.value * (gauge.high.si - gauge.low.si) / (gauge.high.value - gauge.low.value)
            if gauge.high.unit == high.unit and high.si - zero < 4 * error:
                yield f"{named} is too coarse"


def items(done: Done) -> Found:
    """What a step names exists in the variant; what it uses is allowed there."""
    for work, _ in done.works:
        for ref in (*getattr(work, "objects", ()), *getattr(work, "tools", ()), *getattr(work, "sees", ())):
            item = done.procedure.equipment.items.get(ref.name)
            if item is not None and ref.name not in done.world.items:
                yield f"{ref.name} does not exist in {done.variant.name}"
            if {done.variant.model, done.variant.service} & set(getattr(item, "not_for", ())):
                yield f"{ref.name} is not for {done.variant.name}"
            kinds = done.world.best(getattr(item, "kinds", ())) if item is not None else []
            if isinstance(work, Step) and work.part_kind and kinds and work.part_kind not in kinds[0]:
                yield f"{ref.name} of kind {work.part_kind} is not for {done.variant.name}"


def holds(done: Done) -> Found:
    """A hold is released by another than the one who did what it sees, unless the crew has two of the role."""
    crew = {c.role: c.count for c in done.procedure.crew}
    first = done.procedure.crew[0].role if done.procedure.crew else ""
    doer: dict[str, str] = {}
    for work, _ in done.works:
        if isinstance(work, (Step, Check, Measure)):
            verb = work.verb if isinstance(work, Step) else ""
            for ref in work.objects:
                if done.world.kind(ref.name) not in ENERGIES or verb in READS or verb == "look-into":
                    doer[ref.name] = work.role or first
                if verb == "try-start":
                    doer |= dict.fromkeys(done.world.those(("motion",), "driver", ref.name), work.role or first)
        elif isinstance(work, Hold) and crew.get(work.role, 0) < 2:
            yield from (
                f"{work.role} releases what {work.role} did" for r in work.sees if doer.get(r.name) == work.role
            )


def house_words(done: Done) -> Found:
    """A house rule names verbs, or statements that are there."""
    verbs = {v.removesuffix(" new") for v in TABLE} | {"isolate", "return", "open", "shut", "switch-on", "switch-off"}
    verbs |= {"carry-out", "clear", "notify", "record", "observe", "count", "shut-down", "start"}
    named = {n for w in everything(done.procedure.body) for n in (getattr(w, "as_name", ""), getattr(w, "name", ""))}
    named |= {f.name for f in done.procedure.facts}
    for rule in done.procedure.house_rules:
        for word, _ in (rule.first, rule.then):
            if word and word not in verbs | named:
                yield f"nothing is called {word}"


DUTIES: tuple[Callable[[Done], Found], ...] = (results, named_results, rounds, gauges, items, holds, house_words)
