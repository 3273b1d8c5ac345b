"""Stops, stopping places, handovers, waits and notes as rows; a stopping place also gives a page to hand over."""

from __future__ import annotations

from dataclasses import dataclass

from procforge.model.procedure import Mark, Step
from procforge.sheet.english import ended, joined, lower_first, nb
from procforge.sheet.fields import entry, field_id, tick
from procforge.sheet.inline import Blank, BlankKind, Prose, Run
from procforge.sheet.job import Job
from procforge.sheet.records import Place
from procforge.sheet.rows import Row, StepRow, StopRow, WhereWeAre
from procforge.sheet.short import short
from procforge.sheet.standing import Standing, briefly, lines

#: How people take over: common practice, and 29 CFR 1910.147(f)(4) on shift change (from memory).
_TAKE_OVER = (
    "Walk to every lock together.",
    "Who leaves takes off the own locks only after the other has put on theirs.",
    "Every proof is made again before a next opening.",
)
_COME_BACK = ("Check every lock against this page.", "Prove again what this page does not list as proved.")


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
    note = (Run("Note: ", strong=True), mark.text)
    return Marked(StepRow("", (note, *mark.prose), place.key, level=place.level))


def _stop(job: Job, mark: Mark, place: Place, standing: Standing | None) -> StopRow:
    key = place.key
    call = f"Call the {job.names.role(mark.role)}." if mark.role else "Call the person in charge."
    text = " ".join(filter(None, (call, ended(mark.text), *mark.prose)))
    say = f"Leave every lock on. Say what is locked and what is open. {briefly(job, standing)}".strip()
    blanks = (
        entry(key, "time", BlankKind.TIME, "Stopped at", required=False),
        entry(key, "told", BlankKind.TEXT, "Told to", required=False),
        entry(key, "sign", BlankKind.SIGN, "Stopped by", required=False),
    )
    return StopRow(text, say, blanks, key, place.level, key, place.number)


def _may_stop(job: Job, mark: Mark, place: Place, standing: Standing | None) -> Marked:
    key, number = place.key, place.number
    name = f"stopping place, step\u00a0{number}" if number else "stopping place"
    back = tuple(ended(line) for line in (mark.text, *mark.prose) if line)
    state = lines(job, standing)
    page = WhereWeAre(name, state, (*back, *_COME_BACK), _shift(key), own_page=True, key=key, anchor=f"{key}/page")
    link = Run(f"Where we are, {name}", to=page.anchor)
    words: tuple[Prose, ...] = ("You may stop here.", ("If you stop: fill in and hand over the page ", link, "."))
    return Marked(StepRow(number, words, key, "May stop here", back, level=place.level, anchor=key), page)


def _handover(job: Job, mark: Mark, place: Place, standing: Standing | None) -> WhereWeAre:
    to = job.names.role(mark.role) if mark.role else "the next shift"
    said = " ".join(filter(None, (mark.text, *mark.prose)))
    state = (*lines(job, standing), *((("Said here", said),) if said else ()))
    key = place.key
    return WhereWeAre(
        f"handover to {to}", state, _TAKE_OVER, _shift(key), key=key, level=place.level, anchor=key, number=place.number
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
        entry(key, "from", BlankKind.TIME, "Clock at the start"),
        entry(key, "to", BlankKind.TIME, "Clock at the end"),
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


def _shift(key: str) -> tuple[Blank, ...]:
    """Who leaves, who takes over, when; two people."""
    leaves = entry(key, "leaves", BlankKind.SIGN, "Handed over by")
    return (
        leaves,
        Blank(field_id(key, "takes"), BlankKind.SIGN, "Taken over by", other_than=leaves.id),
        entry(key, "date", BlankKind.DATE, "Date"),
        entry(key, "time", BlankKind.TIME, "Time"),
    )
