"""What to bring: tools with range and calibration, consumables, parts that are or may be needed new, temporary items."""

from __future__ import annotations

from procforge.model.base import pick
from procforge.model.equipment import Consumable, Fastener, Gauge, Seal, Solid, Supply
from procforge.sheet.english import joined, lower_first, nb, upper_first
from procforge.sheet.fields import field_id, tick
from procforge.sheet.inline import Blank, BlankKind, Cell, Prose
from procforge.sheet.job import Job
from procforge.sheet.outline import Block, ListTable, Paragraph
from procforge.sheet.records import stock_of
from procforge.sheet.seconds import bracketed, glued


def kit(job: Job) -> list[Block]:
    """Tools with range and calibration, consumables, and the parts that are or may be needed new."""
    out: list[Block] = []
    labels = job.labels
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
        elif item is not None and item.kind not in ("part", "seal", "fastener", "temporary", "pressure-space"):
            tools.append(name)
    gauges = [n for n in tools if _measures(job, n)]
    if gauges:
        out.append(
            ListTable(
                (labels.gauges, labels.range_class, labels.serial, labels.calibrated, labels.at_hand),
                tuple(_gauge(job, n) for n in gauges),
                widths=(2.6, 2.3, 1.2, 1.2, 0.7),
                centred=(4,),
            )
        )
    others: list[tuple[Cell, ...]] = [(_tool(job, n), _hand(n)) for n in tools if n not in gauges]
    others += [
        (", ".join(filter(None, (job.names.title(n), _quantity(job, n), _stock(job, n)))), _hand(n)) for n in stuff
    ]
    others += [
        (", ".join(filter(None, (job.names.title(n), _stock(job, n), labels.for_the_job))), _hand(n))
        for n in temporary(job)
    ]
    if others:
        half = -(-len(others) // 2)
        pairs = tuple(
            (*others[at], *(others[at + half] if at + half < len(others) else ("", ""))) for at in range(half)
        )
        head = (labels.other_kit, labels.at_hand) * 2
        out.append(ListTable(head, pairs, widths=(3.3, 0.7) * 2, centred=(1, 3)))
    if rows := _new_rows(job):
        out.append(
            ListTable(
                (labels.parts, labels.quantity, labels.stock, labels.needed, labels.at_hand),
                tuple(rows),
                widths=(2.6, 0.8, 1.0, 2.9, 0.7),
                centred=(1, 4),
            )
        )
    if not out:
        out.append(Paragraph(labels.no_kit))
    return out


def _hand(name: str) -> Blank:
    return tick("kit", name, label="At hand")


def _measures(job: Job, name: str) -> bool:
    """Whether it is known by its serial number and calibration."""
    item = job.names.item(name)
    return isinstance(item, Gauge) and (item.high is not None or item.calibrated)


def _range(job: Job, name: str) -> Prose:
    """What it reaches: from and to, or up to."""
    item, seconds = job.names.item(name), job.profile.seconds
    low, high = getattr(item, "low", None), getattr(item, "high", None)
    if isinstance(item, Supply) and item.up_to is not None:
        return glued("up to ", seconds.words(item.up_to, "down"))
    if low is not None and high is not None:
        return bracketed(f"{nb(low)} to {nb(high)}", seconds.of_span(low, high))
    return ""


def _grade(job: Job, name: str) -> str:
    item = job.names.item(name)
    accuracy = item.accuracy if isinstance(item, Gauge) else None
    return f", {nb(job.labels.class_of.format(accuracy=accuracy))}" if accuracy else ""


def _tool(job: Job, name: str) -> Prose:
    span = _range(job, name)
    return glued(job.names.title(name, tag=True), ", " * bool(span), span, _grade(job, name))


def _gauge(job: Job, name: str) -> tuple[Cell, ...]:
    return (
        job.names.title(name, tag=True), glued(_range(job, name), _grade(job, name)),
        Blank(field_id("kit", name, "serial"), BlankKind.SERIAL, job.labels.serial, required=False),
        Blank(field_id("kit", name, "calibrated"), BlankKind.DATE, job.labels.calibrated, required=False), _hand(name),
    )  # fmt: skip


def _stock(job: Job, name: str) -> str:
    number = stock_of(job, name)
    return lower_first(job.labels.stock_is.format(number=number).rstrip(".")) if number else ""


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
        first = next(iter(members))
        title = job.names.plain(first, place=len(members) == 1, whole=True)
        rows.append((upper_first(title), total, stock, _why(job, list(members.values())), _hand(base)))
    return rows


def _why(job: Job, members: list[tuple[str, ...]]) -> str:
    """`always`, or `if rejected at 4.2, 4.10 or 4.21`."""
    if any(not reasons for reasons in members):
        return job.labels.always
    places: dict[str, list[str]] = {}
    for reason in dict.fromkeys(r for reasons in members for r in reasons):
        outcome, _, number = reason.rpartition(" at ")
        places.setdefault(outcome or reason, []).extend([number] if outcome else [])
    return "if " + joined([f"{o} at {joined(n, 'or')}" if n else o for o, n in places.items()], "or")


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
    return list(
        dict.fromkeys(
            r.name
            for s, _ in job.steps()
            if s.verb == "fit"
            for r in s.objects
            if job.machine.kind(r.name) == "temporary"
        )
    )
