"""One step, check or measurement as a row: its sentences, its notes, and the blanks it asks for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TypeVar, cast

from procforge.model.base import pick
from procforge.model.equipment import Fastener, Gauge, Solid
from procforge.model.procedure import Check, Measure, Ref, Step
from procforge.model.tree import walk
from procforge.sheet.english import ended, joined, lower_first, nb, upper_first
from procforge.sheet.field_limits import field_limit
from procforge.sheet.fields import (
    choice,
    entry,
    field_id,
    initials,
    otherwise,
    reading,
    tick,
)
from procforge.sheet.handling import torque_of
from procforge.sheet.inline import Blank, BlankKind, Prose, Run, limit_words
from procforge.sheet.job import Job, Result
from procforge.sheet.notes import failing, gauge_of, step_notes
from procforge.sheet.pictures import pictures
from procforge.sheet.rows import IsolatorRow, StepRow
from procforge.sheet.sentences import ROW_VERBS, check_sentences, measure_sentences, position, sentences
from procforge.sheet.short import short
from procforge.sheet.torque import torque_record

#: Verbs that are proofs: who did them signs at once.
SIGNED = frozenset({"prove", "try-start", "gas-test", "leak-test", "tighten", "retighten"})
_TIGHTENED = frozenset({"tighten", "retighten"})
Doing = TypeVar("Doing", bound=Step | Check | Measure)
#: Verbs whose reading is taken at the gauge of the space.
_READ_AT = frozenset({"prove", "leak-test"})
_INSTRUMENT = frozenset({"prove", "gas-test", "pressurise", "charge", "leak-test"})


@dataclass(frozen=True, slots=True)
class Place:
    """Where a row stands: its number, its key (with the round), its level."""

    number: str
    key: str
    level: int


def step_rows(job: Job, step: Step, place: Place) -> list[StepRow]:
    """The rows of a step: one, or one for each fastener set that has torque data of its own."""
    records = [(ref, torque_record(job, step, ref.name, place.key)) for ref in step.objects]
    if len(records) < 2 or not any(record for _, record in records):
        return [_step(job, step, place)]
    rows = []
    for at, ref in enumerate(step.objects):
        own = step.but(objects=(ref,), meets=step.meets if at == 0 else (), figures=step.figures if at == 0 else ())
        here = Place(
            f"{place.number}{chr(ord('a') + at)}" if at < 26 else place.number, f"{place.key}:{ref.name}", place.level
        )
        rows.append(_step(job, own, here))
    return rows


def _step(job: Job, step: Step, place: Place) -> StepRow:
    key = place.key
    step, drawn_in = for_instrument(job, step)
    isolators = _isolators(job, step, key)
    torque = torque_record(job, step, step.objects[0].name, key) if len(step.objects) == 1 else None
    blanks = _step_blanks(job, step, key)
    signed = step.verb in SIGNED and not (torque is None and step.verb in ("tighten", "retighten"))
    details: list[Prose] = [*map(job.names.said, step.prose), *step_notes(job, step)]
    if step.no_value and torque is None:
        details.append(step.no_value)
    if step.look_up and torque is None:
        details.append(job.labels.look_up.format(what=lower_first(step.look_up[0]), where=step.look_up[1]))
        signed = True
    return StepRow(
        place.number, _sentences(job, step), key, short(step, job.names),
        (*details, *drawn_in, *failing(job, step)), expect=_expect(job, step), limit=_limit(job, step), by=job.names.role(step.role),
        takes=nb(step.takes) if step.takes is not None else "", tick=tick(key), initials=_initials(job, key) if signed else None,
        otherwise=otherwise(key, job.labels), blanks=tuple(blanks), hazards=job.panels(step.meets, place.number), isolators=isolators,
        torque=torque, figures=pictures(step.figures), level=place.level, anchor=key,
    )  # fmt: skip


def _sentences(job: Job, step: Step) -> tuple[Prose, ...]:
    """The instruction, each amount in it with its second unit."""
    torques = [torque_of(step, ref.name, job.names) for ref in step.objects] if step.verb in _TIGHTENED else []
    amounts = (step.to_amount, step.at_amount, *(t.target for t in torques if t is not None))
    return tuple(job.profile.seconds.spread(text, amounts) for text in sentences(step, job.names, about(job, step)))


def _initials(job: Job, key: str) -> Blank:
    made = initials(key)
    job.last_initials = made.id
    return made


def about(job: Job, step: Step) -> str:
    """What people are told, from where the step stands: before the shut-down, after the locks are off."""
    if step.verb != "notify":
        return ""
    named = {w.verb: w for w in walk(job.procedure.body) if isinstance(w, Step) and w.verb in ("shut-down", "start")}
    first = next((w.objects[0].name for w in named.values() if w.objects), "")
    machine = job.names.the(first) if first else job.names.machine_words()
    if job.unlocked:
        goes = "will be started" if "start" in named else "goes back into service"
        return f"that the locks are off and {machine} {goes}"
    if job.shut_down:
        return ""
    return f"that {machine} will be {'shut down' if 'shut-down' in named else 'isolated'} for this work"


def _read_on(job: Job, work: Step | Check | Measure) -> str:
    """The gauge or measuring tool that a limit is read on, empty where none is named."""
    if isinstance(work, Step):
        gauges = (gauge_of(job, work, ref) for ref in work.objects)
        return next(filter(None, gauges), "") if work.verb in _READ_AT else ""
    return next((ref.name for ref in work.tools if isinstance(job.names.item(ref.name), Gauge)), "")


def for_instrument(job: Job, work: Doing) -> tuple[Doing, tuple[Prose, ...]]:
    """The work with the limit to read to on the instrument it names, and a line that says how it was drawn in."""
    if work.limit is None:
        return work, ()
    name = _read_on(job, work)
    found = field_limit(work.limit, job.machine.items.get(name))
    if found.error is None:
        return work, ()
    words = job.labels.drawn_in.format(gauge=job.names.the(name, tag=False), error=nb(found.error))
    drawn = cast(Doing, work.but(limit=found.limit))
    return drawn, (job.profile.seconds.spread(words, [found.error], "up"),)


def _limit(job: Job, work: Step | Check | Measure) -> Prose:
    return limit_words(reading("limit", "", "", work.limit, job.profile.seconds))


def _expect(job: Job, step: Step) -> Prose:
    if step.expect:
        return job.names.said(step.expect)
    if step.verb == "try-start":
        return "no movement"
    if step.verb == "look-into":
        return "nothing left inside"
    if step.verb == "count":
        found = [_number(job, ref.name) for ref in step.objects]
        return str(sum(found)) if found and all(found) else ""
    return ""


def _number(job: Job, name: str) -> int:
    """How many pieces a thing is: a fastener set has its count, a single part is one; 0 where the machine does not say."""
    item = job.names.item(name)
    if isinstance(item, Fastener):
        return item.count
    return int(item is not None and not job.names.many(name) and not re.search(r"\b(?:pair|set)\b", item.title.lower()))


def _isolators(job: Job, step: Step, key: str) -> tuple[IsolatorRow, ...]:
    if step.verb not in ROW_VERBS or (len(step.objects) < 2 and step.verb not in ("lock", "unlock")):
        return ()
    rows = []
    for at, ref in enumerate(step.objects, 1):
        words = job.names.title(ref.name)
        lock = (
            Blank(field_id(key, ref.name, "lock"), BlankKind.NUMBER, f"Lock no., {words}"[:60])
            if step.verb == "lock"
            else None
        )
        signs = initials(key, ref.name) if step.verb in ("lock", "unlock") else None
        rows.append(
            IsolatorRow(
                words,
                position(step.verb, ref.name, job.names),
                job.names.tag(ref.name),
                str(at),
                tick(key, ref.name),
                lock,
                signs,
            )
        )
    return tuple(rows)


def _step_blanks(job: Job, step: Step, key: str) -> list[Blank]:
    out: list[Blank] = []
    labels, seconds = job.labels, job.profile.seconds
    name, unit = _instrument(job, step)
    if name:
        out.append(entry(key, "instrument", BlankKind.SERIAL, labels.serial_of.format(name=name)))
        out.append(entry(key, "instrument-calibrated", BlankKind.DATE, labels.calibrated_of.format(name=name)))
    match step.verb:
        case "notify":
            out.append(entry(key, "time", BlankKind.TIME, labels.time_told))
        case "pressurise" | "charge" if name or unit:
            out.append(reading(key, "reading", labels.pressure_reached, step.limit, seconds, unit or _unit(step)))
        case "leak-test" if step.limit is None:
            if step.at_amount is not None or step.tools:
                out.append(reading(key, "pressure", labels.test_pressure, None, seconds, unit or _unit(step)))
        case "exchange":
            out.append(entry(key, "serial-out", BlankKind.SERIAL, labels.serial_out))
            out.append(entry(key, "serial-in", BlankKind.SERIAL, labels.serial_in))
        case "renew" if any(isinstance(job.names.item(r.name), Solid) for r in step.objects):
            out.append(entry(key, "serial-in", BlankKind.SERIAL, labels.serial_new, required=False))
        case "count":
            out.append(entry(key, "count", BlankKind.NUMBER, labels.counted))
        case "record":
            out.append(entry(key, "data", BlankKind.TEXT, labels.data))
        case "mark":
            out.append(entry(key, "mark", BlankKind.TEXT, labels.mark_used))
    if step.verb not in ("pressurise", "charge") and (
        step.limit is not None or (step.verb in ("prove", "gas-test") and name)
    ):
        out.append(reading(key, "reading", labels.reading, step.limit, seconds, unit))
    if step.look_up and step.verb not in ("tighten", "retighten"):
        out.append(entry(key, "value", BlankKind.READING, labels.with_unit.format(name=upper_first(step.look_up[0]))))
    return out + _verdict(job, step, key)


def _instrument(job: Job, step: Step) -> tuple[str, str]:
    """What a step is read at, for its serial number, and the unit it reads in; empty where nothing is read.

    The proving gauge is for the proof: its range ends far below a test pressure, and its root may be shut by then. A
    step that is to be read at it says so (`at`).
    """
    if step.verb not in _INSTRUMENT:
        return "", ""
    named = step.at.name if step.at is not None and step.at.name in job.machine.items else ""
    if step.verb == "prove":
        named = next((g for ref in step.objects if (g := gauge_of(job, step, ref))), "")
    if named or step.verb == "prove":
        return (job.names.title(named, tag=True) if named else ""), _gauge_unit(job, named)
    if step.verb == "gas-test":
        return (job.names.title(step.tools[0].name, tag=True) if step.tools else job.labels.gas_detector), ""
    if step.verb in ("pressurise", "charge") or step.limit is not None or step.at_amount is not None:
        return job.labels.test_gauge, _unit(step)
    return "", ""


def _verdict(job: Job, step: Step | Measure, key: str) -> list[Blank]:
    """The result of a step that is no check: asked for where a decision reads it, or where no reading shows it."""
    if step.result and step.result in job.read:
        return [choice(key, "result", job.labels.result, (job.labels.passed, job.labels.failed))]
    if isinstance(step, Step) and step.verb == "leak-test" and step.limit is None:
        return [choice(key, "result", job.labels.result, (job.labels.tight, job.labels.leaks))]
    return []


def _unit(step: Step) -> str:
    amount = step.to_amount or step.at_amount
    return amount.unit.symbol if amount is not None else ""


def _gauge_unit(job: Job, gauge: str) -> str:
    high = getattr(job.names.item(gauge), "high", None) if gauge else None
    return high.unit.symbol if high is not None else ""


# ---- checks and measurements ---------------------------------------------------------------------------------------
def check_row(job: Job, check: Check, place: Place) -> StepRow:
    """A judgement: what to do, when to accept and when to reject, and the result to choose."""
    key, labels = place.key, job.labels
    check, drawn_in = for_instrument(job, check)
    verdict = choice(key, "verdict", labels.result, (labels.accepted, labels.rejected))
    details: list[Prose] = [*map(job.names.said, check.prose)]
    for head, lines in ((labels.accept, check.accept), (labels.reject, check.reject)):
        details += [(Run(f"{head}: ", strong=True), ended(job.names.said(line))) for line in lines]
    details += drawn_in
    blanks = [*_tool_blanks(job, check.tools, key)]
    if check.limit is not None:
        blanks.append(reading(key, "reading", labels.reading, check.limit, job.profile.seconds))
    names = [ref.name for ref in check.objects]
    words = joined([job.names.the(name, tag=False) for name in names])
    job.results[check.result] = Result(place.number, words, verdict, judged=True)
    return StepRow(
        place.number, check_sentences(check, job.names), key, short(check, job.names), tuple(details), expect=check.expect,
        limit=_limit(job, check), by=job.names.role(check.role), takes=nb(check.takes) if check.takes is not None else "",
        tick=tick(key), initials=_initials(job, key), otherwise=otherwise(key, labels), blanks=(*blanks, verdict),
        hazards=job.panels(check.meets, place.number), figures=pictures(check.figures), level=place.level, anchor=key,
    )  # fmt: skip


def measure_row(job: Job, measure: Measure, place: Place) -> StepRow:
    """A measurement: a reading, or one for each place."""
    key, labels, seconds = place.key, job.labels, job.profile.seconds
    measure, drawn_in = for_instrument(job, measure)
    unit = _gauge_unit(job, measure.tools[0].name) if measure.tools else ""
    blanks = [*_tool_blanks(job, measure.tools, key)]
    named = "{name}" if unit or measure.limit is not None else labels.with_unit
    if measure.places:
        for name in measure.places:
            where = upper_first(job.names.place(name))
            blanks.append(
                reading(
                    key,
                    f"reading-{name}",
                    named.format(name=f"{labels.reading}, {where}"),
                    measure.limit,
                    seconds,
                    unit,
                )
            )
    else:
        blanks.append(
            reading(key, "reading", named.format(name=upper_first(measure.label)), measure.limit, seconds, unit)
        )
    details: list[Prose] = [*map(job.names.said, measure.prose), *drawn_in]
    if measure.look_up:
        details.append(labels.look_up.format(what=lower_first(measure.look_up[0]), where=measure.look_up[1]))
        blanks.append(
            entry(key, "value", BlankKind.READING, labels.with_unit.format(name=upper_first(measure.look_up[0])))
        )
    if measure.no_value:
        details.append(measure.no_value)
    if measure.keep_as:
        details.append(labels.keep_value)
    verdict = _verdict(job, measure, key)
    blanks += verdict
    if verdict:
        job.results[measure.result] = Result(place.number, lower_first(measure.label), verdict[0], judged=False)
    return StepRow(
        place.number, measure_sentences(measure, job.names), key, short(measure, job.names), (*details, *failing(job, measure)),
        expect=measure.expect, limit="" if measure.places else _limit(job, measure), by=job.names.role(measure.role),
        takes=nb(measure.takes) if measure.takes is not None else "", tick=tick(key), otherwise=otherwise(key, labels),
        blanks=tuple(blanks), hazards=job.panels(measure.meets, place.number), figures=pictures(measure.figures),
        level=place.level, anchor=key,
    )  # fmt: skip


def _tool_blanks(job: Job, tools: tuple[Ref, ...], key: str) -> list[Blank]:
    """Serial number and calibration of what a judged value is read with."""
    out: list[Blank] = []
    for at, ref in enumerate(tools):
        item = job.names.item(ref.name)
        if item is not None and getattr(item, "high", None) is not None:
            name = job.names.title(ref.name, tag=True)
            part = "instrument" if at == 0 else f"instrument-{at + 1}"
            out.append(entry(key, part, BlankKind.SERIAL, job.labels.serial_of.format(name=name)))
            out.append(entry(key, f"{part}-calibrated", BlankKind.DATE, job.labels.calibrated_of.format(name=name)))
    return out


def step_result(job: Job, step: Step, row: StepRow) -> None:
    """Note the result of a step that a later decision reads."""
    for blank in row.blanks:
        if step.result and blank.kind is BlankKind.CHOICE and blank.choices == (job.labels.passed, job.labels.failed):
            job.results[step.result] = Result(row.number, lower_first(row.title), blank, judged=False)


def stock_of(job: Job, name: str) -> str:
    """The stock number of an item for the variant."""
    item = job.names.item(name)
    return str(pick(item.stock, job.variant) or "") if item else ""
