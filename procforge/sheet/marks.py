"""Stops, stopping places, handovers, waits and notes as rows; a stopping place also gives a page to hand over."""

from __future__ import annotations

import re
from dataclasses import dataclass

from procforge.model.procedure import Mark, Step
from procforge.sheet.english import ended, joined, lower_first, nb, upper_first
from procforge.sheet.fields import entry, field_id, tick
from procforge.sheet.inline import Blank, BlankKind, Prose, Run
from procforge.sheet.job import Job
from procforge.sheet.records import Place
from procforge.sheet.rows import Row, StepRow, StopRow, WhereWeAre
from procforge.sheet.short import short
from procforge.sheet.standing import Standing, briefly, lines

#: How people take over: common practice, and 29 CFR 1910.147(f)(4) on shift change (from memory).
_LOCKS = re.compile(r"\b(?:Leave|Keep) (?:the|all|every) locks? on\. ?")
_TAKE_OVER = ("walk_locks", "own_locks", "prove_again")
_COME_BACK = ("check_locks", "prove_rest")


@dataclass(frozen=True, slots=True)
class Marked:
    """The row of a mark, and the page at the end of the sheet if it has one."""

    row: Row
    page: WhereWeAre | None = None


def marked(job: Job, mark: Mark, place: Place, standing: Standing | None) -> Marked:
    """A mark as printed."""
    match mark.form:
        case "stop":
            return Marked(_stop(job, mark, place, standing))
        case "may-stop":
            return _may_stop(job, mark, place, standing)
        case "handover":
            return Marked(_handover(job, mark, place, standing))
        case "wait":
            return Marked(_wait(job, mark, place))
    note = (Run(f"{job.labels.note}: ", strong=True), mark.text)
    return Marked(StepRow("", (note, *mark.prose), place.key, level=place.level))


def _stop(job: Job, mark: Mark, place: Place, standing: Standing | None) -> StopRow:
    key, labels = place.key, job.labels
    call = labels.call.format(role=job.names.role(mark.role) if mark.role else labels.person_in_charge)
    said = " ".join(job.names.said(line) for line in (ended(mark.text), *mark.prose) if line)
    text = f"{call} {_LOCKS.sub('', said)}".strip()  # said below for every stop
    say = f"{labels.leave_locks} {briefly(job, standing)}".strip()
    blanks = (
        entry(key, "time", BlankKind.TIME, labels.stopped_at, required=False),
        entry(key, "told", BlankKind.TEXT, labels.told_to, required=False),
        entry(key, "sign", BlankKind.SIGN, labels.stopped_by, required=False),
    )
    return StopRow(text, say, blanks, key, place.level, key, place.number)


def _may_stop(job: Job, mark: Mark, place: Place, standing: Standing | None) -> Marked:
    key, number = place.key, place.number
    name = f"stopping place, step\u00a0{number}" if number else "stopping place"
    said = tuple(ended(job.names.said(line)) for line in (mark.text, *mark.prose) if line)
    leave, back = _parted(said, job.labels.come_back)
    state = (*lines(job, standing), *((job.labels.before_leaving, line) for line in leave))
    page = WhereWeAre(
        name,
        state,
        (*back, *_standing(job, _COME_BACK)),
        _shift(job, key),
        own_page=True,
        key=key,
        anchor=f"{key}/page",
    )
    link = Run(f"{job.labels.where}, {name}", to=page.anchor)
    words: tuple[Prose, ...] = (job.labels.may_stop, (f"{job.labels.if_you_stop} ", link, "."))
    return Marked(StepRow(number, words, key, "May stop here", said, level=place.level, anchor=key), page)


def _parted(said: tuple[str, ...], word: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is done before leaving, and what comes after `To come back:`."""
    leave: list[str] = []
    back: list[str] = []
    for line in said:
        first, found, rest = line.partition(f"{word}:")
        leave += [first.strip()] if first.strip() else []
        back += [upper_first(rest.strip())] if found else []
    return tuple(leave), tuple(back)


def _handover(job: Job, mark: Mark, place: Place, standing: Standing | None) -> WhereWeAre:
    to = job.names.role(mark.role) if mark.role else job.labels.next_shift
    said = " ".join(job.names.said(line) for line in (mark.text, *mark.prose) if line)
    state = (*lines(job, standing), *(((job.labels.said_here, said),) if said else ()))
    key = place.key
    return WhereWeAre(
        job.labels.handover_to.format(role=to),
        state,
        _standing(job, _TAKE_OVER),
        _shift(job, key),
        key=key,
        level=place.level,
        anchor=key,
        number=place.number,
    )


def _wait(job: Job, mark: Mark, place: Place) -> StepRow:
    key = place.key
    long = f" {nb(mark.duration)}" if mark.duration is not None else ""
    words = [f"Wait{long} after {_event(job, mark.after)}." if mark.after else f"Wait{long}."]
    late: tuple[Prose, ...] = ()
    if mark.longest is not None:
        words.append(f"Go on within {nb(mark.longest)}.")
        missed = f"If more than {nb(mark.longest)} have gone by: stop and tell the person in charge."
        late = ((Run(missed, strong=True),),)
    blanks = (
        entry(key, "from", BlankKind.TIME, job.labels.clock_start),
        entry(key, "to", BlankKind.TIME, job.labels.clock_end),
    )
    return StepRow(
        place.number, tuple(words), key, short(mark, job.names), (*mark.prose, *late),
        tick=tick(key), blanks=blanks, level=place.level, anchor=key,
    )  # fmt: skip


def _event(job: Job, after: str) -> str:
    """What the wait counts from: the last printed step that did it, else its words."""
    verb, _, rest = after.partition(" ")
    for one in reversed(job.done):
        work = one.work
        if isinstance(work, Step) and work.verb == verb and all(ref.name in rest for ref in work.objects[:1]):
            return f"step\u00a0{one.number}, {lower_first(short(work, job.names))}"
    names = [n for n in job.machine.items if n in rest]
    return f"{verb.replace('-', ' ')} {joined([job.names.the(n) for n in names[:3]])}".strip()


def _standing(job: Job, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(getattr(job.labels, name) for name in names)


def _shift(job: Job, key: str) -> tuple[Blank, ...]:
    """Who leaves, who takes over, when; two people."""
    leaves = entry(key, "leaves", BlankKind.SIGN, job.labels.handed_over)
    return (
        leaves,
        Blank(field_id(key, "takes"), BlankKind.SIGN, job.labels.taken_over, other_than=leaves.id),
        entry(key, "date", BlankKind.DATE, job.labels.date),
        entry(key, "time", BlankKind.TIME, job.labels.time),
    )
