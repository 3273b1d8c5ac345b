"""What stands before the work: name-plate and control data, what must hold, people, wear, tools, parts, hazards."""

from __future__ import annotations

from procforge.model.procedure import Hazard
from procforge.sheet.conditions import conditions
from procforge.sheet.crew import crew_table
from procforge.sheet.english import ended, joined, lower_first, nb, upper_first
from procforge.sheet.fields import entry, tick
from procforge.sheet.inline import Blank, BlankKind, Cell, Run
from procforge.sheet.job import Job
from procforge.sheet.outline import (
    Block,
    Change,
    Control,
    Heading,
    KeyValues,
    ListTable,
    NamePlate,
    Paragraph,
    Signature,
)
from procforge.sheet.panels import signal_name
from procforge.sheet.profile import RANK

_NOT_ISSUED = frozenset({"draft", "trial", "withdrawn", "superseded", "obsolete"})


def control(job: Job, source_hash: str) -> Control:
    """What every page says of the sheet."""
    procedure, unit = job.procedure, job.unit
    model, service = job.names.variant()
    labels = job.labels
    parts = {"author": labels.prepared, "reviewer": labels.reviewed, "approver": labels.approved}
    signed = {part: [s for s in procedure.signatures if s.part == part] for part in parts}
    signatures = []
    for part, task in parts.items():
        signatures += [Signature(task, "", s.name, s.date) for s in signed[part]] or [Signature(task)]
    due = joined([nb(d) for d in procedure.due], "or")
    purpose = [ended(procedure.purpose)] if procedure.purpose else []
    purpose += [labels.due.format(interval=due)] if due else []
    status = upper_first(procedure.status.replace("-", " ")) or labels.status_not_stated
    return Control(
        procedure.title, procedure.number, procedure.revision, procedure.revision_date, status, source_hash,
        tag=unit.tag if unit else "", equipment=(unit.title if unit else "") or procedure.equipment.title,
        model=model, service=service, serial=unit.serial if unit else "",
        work_order=entry("sheet", "work-order", BlankKind.NUMBER, labels.work_order),
        organisation=job.profile.organisation, logo=job.profile.logo,
        purpose=" ".join(purpose), references=tuple(f"{a}: {b}" if b else a for a, b in procedure.references),
        signatures=tuple(signatures),
        changes=(Change(procedure.revision, procedure.revision_date, procedure.revision_text),) if procedure.revision_text else (),
        mark=labels.not_issued.format(status=status) if procedure.status.lower() in _NOT_ISSUED else "",
    )  # fmt: skip


def name_plate(job: Job) -> NamePlate:
    """What the plate must read; a sheet for a model leaves tag and number to be written down."""
    unit, labels = job.unit, job.labels
    model, service = job.names.variant()
    rows: list[tuple[str, str, Blank | None]] = []

    def add(label: str, value: str, part: str, kind: BlankKind) -> None:
        rows.append(
            (label, value or labels.any_write_down, entry("plate", part, kind, labels.as_read.format(name=label)))
        )

    add(labels.tag, unit.tag if unit else "", "tag", BlankKind.TEXT)
    if model:
        add(labels.model, model, "model", BlankKind.TEXT)
    if service:
        add(labels.service, service, "service", BlankKind.TEXT)
    add(labels.serial, unit.serial if unit else "", "serial", BlankKind.SERIAL)
    return NamePlate(tuple(rows), tick("plate", label=labels.agrees))


def before(job: Job) -> list[Block]:
    """Conditions, permits, people, wear, what to leave alone."""
    procedure, labels = job.procedure, job.labels
    out: list[Block] = [Heading(job.labels.before_work, 1, "A", "before")]
    held = [*(ended(job.names.said(c)) for c in procedure.conditions), *conditions(job, procedure.starts)]
    rows: list[tuple[Cell, ...]] = []
    for at, text in enumerate(held, 1):
        rows.append((text, "", tick("before", f"condition-{at}", label=f"Condition {at} holds")))
    for at, text in enumerate(procedure.permits, 1):
        number = entry("before", f"permit-{at}", BlankKind.NUMBER, f"Permit {at}, number")
        rows.append(
            (
                labels.permit.format(permit=lower_first(text)),
                number,
                tick("before", f"permit-{at}", label=f"Permit {at} is valid"),
            )
        )
    if not held:
        rows.insert(0, (labels.no_conditions, "", ""))
    if not procedure.permits:
        rows.append((labels.no_permits, "", ""))
    out.append(
        ListTable((labels.must_hold, labels.count, labels.done), tuple(rows), widths=(5, 1.6, 0.7), centred=(2,))
    )
    if people := crew_table(job):
        out.append(people)
    wear = list(dict.fromkeys([*job.wear(procedure.wear), *(w for h in _met(job) for w in job.wear(h.wear))]))
    pairs: list[tuple[str, Cell]] = [
        (labels.wear, joined([lower_first(w) for w in wear]) if wear else labels.none_named)
    ]
    pairs += [
        (labels.leave_alone.format(item=job.names.the(n)), ended(why) if why else labels.do_not_disturb)
        for n, why in procedure.leave_alone
    ]
    out.append(KeyValues(tuple(pairs)))
    return out


def _met(job: Job) -> list[Hazard]:
    return [h for h in job.procedure.hazards if h.name in job.met]


def hazards(job: Job) -> list[Block]:
    """The summary: signal word, hazard, what it does, where it is met; the panel itself stands before its step."""
    met = sorted(_met(job), key=lambda h: RANK[job.profile.signal(h)])
    if not met:
        return [Paragraph(job.labels.no_hazards)]
    labels = job.labels
    rows: list[tuple[Cell, ...]] = []
    for hazard in met:
        panel = job.panel(hazard)
        word = signal_name(job.labels, panel.signal)
        rows.append(
            (
                (Run(word, strong=True),),
                panel.hazard,
                upper_first(panel.place),
                ", ".join(job.met[hazard.name]),
                ", ".join(panel.wear),
            )
        )
    return [
        ListTable(
            (labels.signal_word, labels.hazard, labels.place, labels.before_step, labels.wear),
            tuple(rows),
            widths=(1.1, 1.7, 1.4, 1.4, 2.1),
        )
    ]
