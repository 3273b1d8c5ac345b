"""What stands after the work: what was judged, parts used, how the machine is left, who signs."""

from __future__ import annotations

from procforge.model.procedure import Call, Check, Measure
from procforge.sheet.conditions import conditions
from procforge.sheet.english import ended, joined, upper_first
from procforge.sheet.fields import choice, entry, field_id, initials, reading, signing, tick
from procforge.sheet.inline import Blank, BlankKind, Cell, limit_words
from procforge.sheet.job import Job
from procforge.sheet.kit import new_parts
from procforge.sheet.outline import (
    AcceptanceRow,
    AcceptanceTable,
    Block,
    CloseOut,
    Heading,
    KeyValues,
    ListTable,
    Signature,
)
from procforge.sheet.records import for_instrument, stock_of
from procforge.sheet.sentences import check_name


def acceptance(job: Job) -> list[Block]:
    """One row for each part that was judged: what became of it, and who decided."""
    labels, rows = job.labels, list[AcceptanceRow]()
    fates = (labels.reused, labels.rebuilt, labels.renewed)
    seen: set[str] = set()
    for work, done in job.doings():
        if not isinstance(work, Check | Measure) or (isinstance(work, Measure) and work.limit is None):
            continue
        names = [ref.name for ref in work.objects]
        what = f"{joined([job.names.title(n) for n in names])}: " if names else ""
        what += work.name.replace("-", " ")
        key = f"accept.{what}".replace(" ", "-")
        if what in seen:
            continue
        seen.add(what)
        judged = isinstance(work, Check) and bool(names)
        limit = limit_words(reading("limit", "", "", for_instrument(job, work)[0].limit, job.profile.seconds))
        limit = limit or " ".join(getattr(work, "accept", ()))
        rows.append(
            AcceptanceRow(
                _feature(job, work, names), limit, entry(key, "measured", BlankKind.TEXT, labels.measured_or_seen, required=False),
                choice(key, "result", labels.result, fates if judged else (labels.accepted, labels.not_accepted)),
                initials(key, label=labels.decided_by), done.number,
            )
        )  # fmt: skip
    return [AcceptanceTable(tuple(rows), job.labels.acceptance)] if rows else []


def _feature(job: Job, work: Check | Measure, names: list[str]) -> str:
    """What was judged, by the words of its step: `Inlet valve: plate snap check`, `Rod diameter`."""
    if isinstance(work, Measure):
        return upper_first(work.label)
    check = check_name(work)
    return f"{joined([job.names.title(n) for n in names])}: {check}" if names else upper_first(check)


def _released(job: Job) -> bool:
    """Whether the locks that this sheet puts on come off on it, or in a procedure that it calls."""
    verbs = {step.verb for step, _ in job.steps()}
    return "unlock" in verbs or "lock" not in verbs or any(isinstance(one.work, Call) for one in job.done)


def close_out(job: Job) -> list[Block]:
    """Closing tasks, parts used, how the machine is left, remarks and last signatures."""
    procedure, labels = job.procedure, job.labels
    tables: list[ListTable | KeyValues] = []
    if procedure.tasks:
        rows = tuple(
            (ended(job.names.said(text)), tick("close", f"task-{at}", label=f"Closing task {at}"))
            for at, text in enumerate(procedure.tasks, 1)
        )
        tables.append(ListTable((labels.tasks, labels.done), rows, widths=(6, 0.7), centred=(1,)))
    parts: list[tuple[Cell, ...]] = []
    for name in new_parts(job):
        used = Blank(field_id("used", name, "quantity"), BlankKind.NUMBER, "Number used", required=False)
        serial = Blank(field_id("used", name, "serial"), BlankKind.SERIAL, "Serial or batch no.", required=False)
        parts.append((job.names.title(name), stock_of(job, name), used, serial))
    for at in (1, 2):
        other = [entry("used", f"other-{at}{part}", kind, label, required=False) for part, kind, label in (("", BlankKind.TEXT, "Other part"), ("-stock", BlankKind.NUMBER, "Stock no."), ("-quantity", BlankKind.NUMBER, "Number used"), ("-serial", BlankKind.SERIAL, "Serial or batch no."))]  # fmt: skip
        parts.append(tuple(other))
    tables.append(
        ListTable(
            (labels.parts_used, labels.stock, labels.count, labels.batch), tuple(parts), widths=(2.6, 1.2, 0.9, 1.8)
        )
    )
    left = " ".join(conditions(job, procedure.leaves))
    ends = (labels.as_written, labels.with_exceptions, labels.stopped)
    ended_so: tuple[str, Cell] = (labels.job_ended, choice("close", "ended", labels.job_ended, ends))
    tables.append(KeyValues((*(((labels.leaves, left),) if left else ()), ended_so)))
    remarks = (
        entry("close", "as-left", BlankKind.TEXT, labels.as_left, required=False),
        entry("close", "deviations", BlankKind.TEXT, labels.deviations, required=False),
        entry("close", "remarks", BlankKind.TEXT, labels.remarks, required=False),
    )
    first = next((job.names.role(one.role) for one in procedure.crew), "")
    done = signing("close.done", labels=labels)
    signatures = (
        Signature(labels.work_done, first, blanks=done[:3]),
        Signature(
            labels.checked,
            labels.not_who_did,
            blanks=signing("close.checked", other_than=done[0].id, labels=labels)[:3],
        ),
        Signature(
            labels.taken_back if _released(job) else labels.handed_on,
            "",
            blanks=signing("close.taken-back", labels=labels)[:3],
        ),
    )
    own = any(text.lower().startswith("keep ") for text in procedure.tasks)  # says where better than we can
    return [
        Heading(job.labels.closing, 1, job.labels.closing_letter, "close-out"),
        *acceptance(job),
        CloseOut(tuple(tables), remarks, signatures, "" if own else job.labels.kept),
    ]
