"""What stands before the work: name-plate and control data, what must hold, people, wear, tools, parts, hazards."""

from __future__ import annotations

from procforge.model.base import pick
from procforge.model.equipment import Consumable, Fastener, Gauge, Seal, Solid, State, Supply
from procforge.sheet.crew import crew_table
from procforge.sheet.english import ended, joined, lower_first, nb, upper_first
from procforge.sheet.fields import entry, field_id, tick
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
from procforge.sheet.records import stock_of

_NOT_ISSUED = frozenset({"draft", "trial", "withdrawn", "superseded", "obsolete"})
_PARTS = {"author": "Prepared", "reviewer": "Reviewed", "approver": "Approved"}
_STATES = {
    "in": "in place", "locked": "locked", "set": "set for isolation", "proved": "proved", "relieved": "relieved",
    "torqued": "tightened", "gas-free": "free of gas", "air-free": "free of air", "running": "running",
    "stopped": "shut down", "tested": "leak-tested", "eased": "eased", "off": "off", "fitted": "fitted",
}  # fmt: skip


def control(job: Job, source_hash: str) -> Control:
    """What every page says of the sheet."""
    procedure, unit = job.procedure, job.unit
    model, service = job.names.variant()
    signed = {part: [s for s in procedure.signatures if s.part == part] for part in _PARTS}
    signatures = []
    for part, task in _PARTS.items():
        signatures += [Signature(task, "", s.name, s.date) for s in signed[part]] or [Signature(task)]
    due = joined([nb(d) for d in procedure.due], "or")
    purpose = [ended(procedure.purpose)] if procedure.purpose else []
    purpose += [f"Due every {due}."] if due else []
    status = upper_first(procedure.status.replace("-", " ")) or "Not stated"
    return Control(
        procedure.title, procedure.number, procedure.revision, procedure.revision_date, status, source_hash,
        tag=unit.tag if unit else "", equipment=(unit.title if unit else "") or procedure.equipment.title,
        model=model, service=service, serial=unit.serial if unit else "",
        work_order=entry("sheet", "work-order", BlankKind.NUMBER, "Work order"),
        purpose=" ".join(purpose), references=tuple(f"{a}, {b}" if b else a for a, b in procedure.references),
        signatures=tuple(signatures),
        changes=(Change(procedure.revision, procedure.revision_date, procedure.revision_text),) if procedure.revision_text else (),
        mark=f"{status}: not for use in the field" if procedure.status.lower() in _NOT_ISSUED else "",
    )  # fmt: skip


def name_plate(job: Job) -> NamePlate:
    """What the plate must read; a sheet for a model leaves tag and number to be written down."""
    unit = job.unit
    model, service = job.names.variant()
    rows: list[tuple[str, str, Blank | None]] = []

    def add(label: str, value: str, part: str, kind: BlankKind) -> None:
        rows.append((label, value or "any: write it down", entry("plate", part, kind, f"{label} as read")))

    add("Tag", unit.tag if unit else "", "tag", BlankKind.TEXT)
    if model:
        add("Model", model, "model", BlankKind.TEXT)
    if service:
        add("Service", service, "service", BlankKind.TEXT)
    add("Serial no.", unit.serial if unit else "", "serial", BlankKind.SERIAL)
    return NamePlate(tuple(rows), tick("plate", label="Agrees with this sheet"))


def state_words(job: Job, state: State) -> str:
    """A condition in words: `The cover nuts are tightened.`"""
    verb = "are" if job.names.many(state.name) else "is"
    word = _STATES.get(state.state, state.state.replace("-", " "))
    return f"{upper_first(job.names.the(state.name))} {verb}{' not' if state.negated else ''} {word}."


def before(job: Job) -> list[Block]:
    """Conditions, permits, people, wear, what to leave alone."""
    procedure = job.procedure
    out: list[Block] = [Heading(job.labels.before_work, 1, "A", "before")]
    conditions = [*(ended(c) for c in procedure.conditions), *(state_words(job, s) for s in procedure.starts)]
    rows: list[tuple[Cell, ...]] = []
    for at, text in enumerate(conditions, 1):
        rows.append((text, "", tick("before", f"condition-{at}", label=f"Condition {at} holds")))
    for at, text in enumerate(procedure.permits, 1):
        number = entry("before", f"permit-{at}", BlankKind.NUMBER, f"Permit {at}, number")
        rows.append((f"Permit: {lower_first(text)}", number, tick("before", f"permit-{at}", label=f"Permit {at} is valid")))
    if not conditions:
        rows.insert(0, ("Conditions: none.", "", ""))
    if not procedure.permits:
        rows.append(("Permits: none asked for by this procedure. Site rules may ask for one.", "", ""))
    out.append(ListTable(("Must hold before the work starts", "Number", "Done"), tuple(rows), widths=(5, 1.6, 0.7), centred=(2,)))
    if people := crew_table(job):
        out.append(people)
    wear = list(dict.fromkeys([*job.wear(procedure.wear), *(w for h in _met(job) for w in job.wear(h.wear))]))
    pairs: list[tuple[str, Cell]] = [("Wear", joined([lower_first(w) for w in wear]) if wear else "none named")]
    pairs += [(f"Leave {job.names.the(n)}", ended(why) if why else "do not disturb") for n, why in procedure.leave_alone]
    out.append(KeyValues(tuple(pairs)))
    return out


def _met(job: Job) -> list:  # type: ignore[type-arg]
    return [h for h in job.procedure.hazards if h.name in job.met]


def hazards(job: Job) -> list[Block]:
    """The summary: signal word, hazard, what it does, where it is met; the panel itself stands before its step."""
    met = sorted(_met(job), key=lambda h: RANK[job.profile.signal(h)])
    if not met:
        return [Paragraph("Hazards: none named by this procedure. Site rules hold all the same.")]
    rows: list[tuple[Cell, ...]] = []
    for hazard in met:
        panel = job.panel(hazard)
        word = signal_name(job.labels, panel.signal)
        rows.append(((Run(word, strong=True),), panel.hazard, upper_first(panel.place), ", ".join(job.met[hazard.name]), ", ".join(panel.wear)))
    return [ListTable(("Signal word", "Hazard", "Where", "Before step", "Wear"), tuple(rows), widths=(1.1, 1.7, 1.4, 1.4, 2.1))]


# ---- what to bring -------------------------------------------------------------------------------------------------
def kit(job: Job) -> list[Block]:
    """Tools with range and calibration, consumables, and the parts that are or may be needed new."""
    out: list[Block] = []
    used: dict[str, None] = {}
    for work, _ in job.doings():
        used |= dict.fromkeys(ref.name for ref in work.tools)
        at = getattr(work, "at", None)
        if at is not None:
            used[at.name] = None
    tools, stuff = [], []
    for name in used:
        item = job.names.item(name)
        if isinstance(item, Consumable):
            stuff.append(name)
        elif isinstance(item, Gauge | Supply):
            tools.append(name)
        elif item is not None and item.kind not in ("part", "seal", "fastener", "temporary", "pressure-space"):
            tools.append(name)
    if tools:
        out.append(ListTable(("Tools", "Range and class", "Serial no.", "Calibrated until", "At hand"), tuple(_tool(job, n) for n in tools), widths=(2.2, 2.0, 1.3, 1.3, 0.8), centred=(4,)))
    rows = [(job.names.title(n), _quantity(job, n), stock_of(job, n), "", _hand(n)) for n in stuff]
    rows += _new_rows(job)
    rows += [(job.names.title(n), "", stock_of(job, n), "fitted for the job, taken off again", _hand(n)) for n in temporary(job)]
    if rows:
        out.append(ListTable(("Consumables, parts, temporary items", "Quantity", "Stock no.", "Needed", "At hand"), tuple(rows), widths=(2.7, 1.0, 1.2, 1.9, 0.8), centred=(1, 4)))
    if not out:
        out.append(Paragraph("Tools, consumables and parts: none named by this procedure."))
    return out


def _hand(name: str) -> Blank:
    return tick("kit", name, label="At hand")


def _tool(job: Job, name: str) -> tuple[Cell, ...]:
    item = job.names.item(name)
    low, high = getattr(item, "low", None), getattr(item, "high", None)
    span = f"{nb(low)} to {nb(high)}" if low is not None and high is not None else ""
    if isinstance(item, Supply) and item.up_to is not None:
        span = f"up to {nb(item.up_to)}"
    grade = f", class\u00a0{item.accuracy}" if isinstance(item, Gauge) and item.accuracy else ""
    measures = isinstance(item, Gauge) and (item.high is not None or item.calibrated)
    if not measures:
        return (job.names.title(name, tag=True), span, "", "", _hand(name))
    return (
        job.names.title(name, tag=True), span + grade,
        Blank(field_id("kit", name, "serial"), BlankKind.SERIAL, "Serial no.", required=False),
        Blank(field_id("kit", name, "calibrated"), BlankKind.DATE, "Calibrated until", required=False), _hand(name),
    )  # fmt: skip


def _quantity(job: Job, name: str) -> str:
    item = job.names.item(name)
    given = pick(item.quantity, job.variant) if item else None
    if given:
        return str(given)
    if isinstance(item, Fastener) and item.count:
        return str(item.count)
    return "1" if isinstance(item, Solid | Seal) and not job.names.many(name) else ""


def _new_rows(job: Job) -> list[tuple[Cell, ...]]:
    """A row for each part that is the same at several places: how many at most, and why."""
    groups: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {}
    for name, why in new_parts(job).items():
        item = job.names.item(name)
        groups.setdefault((item.base if item else name, stock_of(job, name)), {})[name] = why
    rows: list[tuple[Cell, ...]] = []
    for (base, stock), members in groups.items():
        given = [_quantity(job, name) for name in members]
        total = str(sum(int(q) for q in given)) if all(q.isdigit() for q in given) else given[0]
        why = "always" if any(not w for w in members.values()) else f"if {joined(list(dict.fromkeys(x for w in members.values() for x in w)), 'or')}"
        first = next(iter(members))
        title = job.names.title(first) if len(members) == 1 else upper_first(job.names.plain(first, place=False, whole=True))
        rows.append((title, total, stock, why.replace(" or rejected at", ", or at").replace(", rejected at", ", at"), _hand(base)))
    return rows


def new_parts(job: Job) -> dict[str, tuple[str, ...]]:
    """What is put in new: always (no reason), or only in the branches named."""
    found: dict[str, dict[str, None]] = {}
    for step, done in job.steps():
        for ref in step.objects:
            if step.verb in ("renew", "exchange") or (ref.new and step.verb in ("fit", "tighten")):
                found.setdefault(ref.name, {})[done.because.rpartition("; ")[2]] = None
    return {name: () if "" in why else tuple(why) for name, why in found.items()}


def temporary(job: Job) -> list[str]:
    """Temporary items that a printed step fits."""
    return list(dict.fromkeys(r.name for s, _ in job.steps() if s.verb == "fit" for r in s.objects if job.machine.kind(r.name) == "temporary"))
