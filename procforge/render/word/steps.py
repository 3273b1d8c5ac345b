"""The step table: one grid of seven columns for every kind of row.

Number | instruction in three columns | box | initials | second initials. A hazard row takes two and five of them, a
reading row one, two, one and three, a hold bar all seven; so all rows line up and the grid never changes.
"""

from __future__ import annotations

from procforge.render.word.bars import (
    Widths,
    arm_row,
    decision_row,
    group_row,
    hold_rows,
    round_row,
    stem,
    stop_rows,
    where_rows,
)
from procforge.render.word.blanks import control, entry_cell, tick_cell
from procforge.render.word.desk import Desk
from procforge.render.word.markup import HEAD, PALE, border, cell, para, row, run, shares, table
from procforge.render.word.panels import hazard_row
from procforge.render.word.pictures import figure
from procforge.render.word.torque import torque_rows
from procforge.sheet.inline import Blank, BlankKind, Prose, bounds
from procforge.sheet.outline import Steps
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    Figure,
    GroupHead,
    HazardPanel,
    HoldBar,
    IsolatorRow,
    RoundHead,
    Row,
    StepRow,
    StopRow,
    WhereWeAre,
)

_PARTS = (860, 1500, 2500, 2342, 720, 1000, 1000)
_WHOLE = 9  # so many isolators are kept on one page with their step
_INDENT = 110  # twips a level
_DEEPEST = 6  # further levels are not moved to the right: the column must stay readable


def grid(desk: Desk) -> Widths:
    """The seven column widths of the step table for the text width at hand."""
    return shares(desk.width, _PARTS)


def steps_table(desk: Desk, block: Steps) -> str:
    """The whole table; the second-initials column appears in the head if any step asks for them."""
    widths = grid(desk)
    second = any(isinstance(line, StepRow) and line.second for line in block.rows)
    rows = [_head(desk, widths, second=second)]
    last = len(block.rows) - 1
    for at, line in enumerate(block.rows):
        follows = block.rows[at + 1] if at < last else None
        rows.append(_row(desk, line, follows, widths, second=second))
    return desk.marks.anchor(block.anchor, table(widths, "".join(rows), title=desk.labels.instruction))


def _row(desk: Desk, line: Row, follows: Row | None, widths: Widths, *, second: bool) -> str:
    match line:
        case StepRow():
            return _step(desk, line, widths, second=second)
        case HazardPanel():
            return hazard_row(desk, line, widths)
        case HoldBar():
            return hold_rows(desk, line, widths)
        case DecisionHead():
            return decision_row(desk, line, widths)
        case Arm():
            inside = getattr(follows, "level", 0) > line.level
            return arm_row(desk, line, widths, keep=inside or isinstance(follows, Arm))
        case RoundHead():
            return round_row(desk, line, widths)
        case GroupHead():
            return group_row(desk, line, widths)
        case StopRow():
            return stop_rows(desk, line, widths)
        case WhereWeAre():
            return where_rows(desk, line, widths)
        case Figure():
            return _figure(desk, line, widths, keep=False)


def _head(desk: Desk, widths: Widths, *, second: bool) -> str:
    labels = desk.labels
    names = [(labels.step, 1), (labels.instruction, 3), (labels.done, 1)]
    names += [(labels.initials, 1), (labels.second, 1)] if second else [(labels.initials, 2)]
    cells, at = "", 0
    for name, span in names:
        centre = "center" if at >= 4 else ""
        text = para(run(name), "ProcListHead", keep=True, align=centre)
        cells += cell(sum(widths[at : at + span]), text, span=span, fill=HEAD, middle=True)
        at += span
    return row(cells, header=True)


def _step(desk: Desk, step: StepRow, widths: Widths, *, second: bool) -> str:
    """Hazard rows, the step's own row, then a row for each thing recorded in it."""
    parts = [hazard_row(desk, panel, widths) for panel in step.hazards]
    readings = [blank for blank in step.blanks if blank.kind is BlankKind.READING]
    below = bool(step.blanks or step.isolators or step.torque or step.figures)
    own = readings[0] if len(readings) == 1 and step.limit else None
    parts.append(_instruction(desk, step, widths, second=second, below=below, limit="" if own else step.limit))
    parts += [_figure(desk, shown, widths, keep=True) for shown in step.figures]
    if step.isolators:
        parts.append(_isolators(desk, step, widths))
    for at, blank in enumerate(step.blanks):
        limit = step.limit if blank is own else bounds(blank)
        parts.append(_blank(desk, blank, limit, step, widths, keep=at < len(step.blanks) - 1))
    if step.torque:
        parts.append(torque_rows(desk, step.torque, widths, step.number))
    return "".join(parts)


def _instruction(desk: Desk, step: StepRow, widths: Widths, *, second: bool, below: bool, limit: Prose) -> str:
    labels = desk.labels
    size = 0 if len(step.number) <= 5 else 24 if len(step.number) <= 6 else 20
    number = desk.marks.anchor(step.anchor, run(step.number, size=size))
    indent = _INDENT * min(step.level, _DEEPEST)
    lines = [para(desk.words(text), "ProcInstruction", keep=below, indent=indent) for text in step.instruction]
    lines += [para(desk.words(text), "ProcInstruction", keep=below, indent=indent) for text in step.details]
    for name, text in ((labels.expect, step.expect), (labels.limit, limit)):
        if text:
            words = run(f"{name}: ", bold=True) + desk.words(text)
            lines.append(para(words, "ProcInstruction", keep=below, indent=indent))
    words = ""
    if step.by or step.takes:
        words = run(f"{labels.by}: ", bold=True) * bool(step.by) + run(", ".join(filter(None, (step.by, step.takes))))
    if step.otherwise:
        words += run("     ") * bool(words) + control(desk.marks, step.otherwise, step.number, size=17)
    if words:
        lines.append(para(words, "ProcInstruction" if step.by else "ProcList", keep=below, indent=indent))
    cells = cell(widths[0], para(number, "ProcNumber", keep=below), borders=_under(step.level, below=below))
    cells += cell(sum(widths[1:4]), "".join(lines), span=3)
    cells += tick_cell(desk.marks, step.tick, widths[4], step.number, keep=below)
    if second:
        cells += entry_cell(desk.marks, step.initials, widths[5], step.number, keep=below)
        cells += entry_cell(desk.marks, step.second, widths[6], step.number, keep=below)
    else:
        cells += entry_cell(desk.marks, step.initials, sum(widths[5:]), step.number, span=2, keep=below)
    return row(cells, height=540)


def _under(level: int, *, below: bool = False, above: bool = False) -> str:
    """Borders of a number cell: none towards the step's own further rows."""
    return (border("top") if above else "") + stem(level) + (border("bottom") if below else "")


def _blank(desk: Desk, blank: Blank, limit: Prose, step: StepRow, widths: Widths, *, keep: bool) -> str:
    """One thing to record: its label, its limit if it has one, and a cell wide enough to write in."""
    first = cell(widths[0], para("", "ProcEntry", keep=keep), borders=_under(step.level, above=True, below=keep))
    wide = blank.kind in (BlankKind.TEXT, BlankKind.SIGN) or sum(map(len, blank.choices)) > 18
    label = run(blank.label, bold=True)
    if limit and wide:
        label += run(f"  {desk.labels.limit}: ") + desk.words(limit, bold=True)
    indent = _INDENT * min(step.level, _DEEPEST)
    name = para(label, "ProcList", keep=keep, indent=indent)
    if wide:
        cells = cell(sum(widths[1:3]), name, span=2, fill=PALE, middle=True)
        cells += entry_cell(desk.marks, blank, sum(widths[3:]), step.number, span=4, keep=keep)
    elif limit:
        cells = cell(sum(widths[1:3]), name, span=2, fill=PALE, middle=True)
        cells += cell(widths[3], para(desk.words(limit, bold=True), "ProcList", keep=keep), fill=PALE, middle=True)
        cells += entry_cell(desk.marks, blank, sum(widths[4:]), step.number, span=3, keep=keep)
    else:
        cells = cell(sum(widths[1:4]), name, span=3, fill=PALE, middle=True)
        cells += entry_cell(desk.marks, blank, sum(widths[4:]), step.number, span=3, keep=keep)
    return row(first + cells, height=480)


def _isolators(desk: Desk, step: StepRow, widths: Widths) -> str:
    """A head and a row for each device: tag and name, position in words, box, lock number, initials.

    Columns nobody fills in at this step are left out of the head and run together in one grey cell.
    """
    labels = desk.labels
    first = cell(widths[0], para("", "ProcCellHead", keep=True), borders=_under(step.level, above=True, below=True))
    lock = any(device.lock for device in step.isolators)
    signed = any(device.initials for device in step.isolators)
    names = [(labels.isolator, 1, 2), (labels.position, 3, 1), (labels.done, 4, 1)]
    if lock and signed:
        names += [(labels.lock, 5, 1), (labels.initials, 6, 1)]
    else:
        names.append((labels.lock if lock else labels.initials if signed else "", 5, 2))
    head = first
    for name, at, span in names:
        text = para(run(name), "ProcCellHead", keep=True, align="center" if at > 3 else "")
        head += cell(sum(widths[at : at + span]), text, span=span, fill=PALE, middle=True)
    out = row(head)
    whole = len(step.isolators) <= _WHOLE
    for at, device in enumerate(step.isolators):
        more = bool(step.blanks or step.torque) or at < len(step.isolators) - 1
        both = lock and signed
        out += _isolator(desk, device, step, widths, more=more, keep=more and (at == 0 or whole), both=both)
    return out


def _isolator(
    desk: Desk, device: IsolatorRow, step: StepRow, widths: Widths, *, more: bool, keep: bool, both: bool
) -> str:
    where = f"{step.number} {device.tag}".strip()
    number = para(run(device.number), "ProcCellHead", keep=keep, align="right")
    name = run(device.tag, bold=True) + run("  ") * bool(device.tag) + run(device.device)
    tick = tick_cell(desk.marks, device.tick, widths[4], where, keep=keep)
    if both:
        last = entry_cell(desk.marks, device.lock, widths[5], where, keep=keep)
        last += entry_cell(desk.marks, device.initials, widths[6], where, keep=keep)
    else:
        last = entry_cell(desk.marks, device.lock or device.initials, sum(widths[5:]), where, span=2, keep=keep)
    return row(
        cell(widths[0], number, borders=_under(step.level, above=True, below=more), middle=True)
        + cell(sum(widths[1:3]), para(name, "ProcInstruction", keep=keep), span=2, middle=True)
        + cell(widths[3], para(run(device.position, bold=True), "ProcInstruction", keep=keep), middle=True)
        + tick
        + last,
        height=520,
    )


def _figure(desk: Desk, shown: Figure, widths: Widths, *, keep: bool) -> str:
    return row(cell(sum(widths), figure(desk, shown, sum(widths) - 200, keep=keep), span=7))
