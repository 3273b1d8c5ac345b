"""The step table: one grid of seven columns for every kind of row.

Number and role | instruction in three columns | box | initials, or why it was not done, in two. A hazard row takes two
and five of them, a reading row one, two, one and three, a hold bar all seven; so all rows line up and the grid never
changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from procforge.render.word.bars import (
    Widths,
    arm_row,
    decision_row,
    group_row,
    hold_rows,
    round_row,
    stop_rows,
    where_rows,
)
from procforge.render.word.blanks import control, entry_cell, tick_cell
from procforge.render.word.desk import Desk
from procforge.render.word.entries import entry_rows, own_limit, under
from procforge.render.word.markup import ENTRY, HEAD, PALE, cell, kept, para, row, run, shares, table
from procforge.render.word.panels import hazard_rows
from procforge.render.word.pictures import figure
from procforge.render.word.torque import torque_rows
from procforge.sheet.inline import plain
from procforge.sheet.outline import Steps
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    Figure,
    GroupHead,
    GroupKind,
    HazardPanel,
    HoldBar,
    IsolatorRow,
    RoundHead,
    Row,
    StepRow,
    StopRow,
    WhereWeAre,
)

_PARTS = (980, 770, 3230, 2402, 700, 920, 920)
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
    at = 0
    while at < len(block.rows):
        line, at = block.rows[at], at + 1
        if isinstance(line, GroupHead):
            more = _heads_within(block.rows[at:])
            at += len(more)
            rows.append(group_row(desk, line, widths, more))
            continue
        follows = block.rows[at] if at < len(block.rows) else None
        made = _row(desk, line, follows, widths, second=second)
        rows.append(kept(made) if _ends_section(follows) else made)
    return desk.marks.anchor(block.anchor, table(widths, "".join(rows), title=desk.labels.instruction))


def _ends_section(line: Row | None) -> bool:
    """A row to sign without a number: it never stands alone at the head of a page."""
    return isinstance(line, StepRow) and not line.number and line.initials is not None


def _heads_within(rows: Sequence[Row]) -> list[GroupHead]:
    """The plain heads right after another, which stand in its row."""
    out: list[GroupHead] = []
    for line in rows:
        if not isinstance(line, GroupHead) or line.kind is not GroupKind.PLAIN or line.anchor:
            break
        out.append(line)
    return out


def _row(desk: Desk, line: Row, follows: Row | None, widths: Widths, *, second: bool) -> str:
    match line:
        case StepRow():
            return _step(desk, line, widths, second=second)
        case HazardPanel():
            return hazard_rows(desk, (line,), widths)
        case HoldBar():
            return hold_rows(desk, line, widths)
        case DecisionHead():
            return decision_row(desk, line, widths)
        case Arm():
            return arm_row(
                desk, line, widths, keep=isinstance(follows, Arm) or getattr(follows, "level", 0) > line.level
            )
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
    names += [(labels.initials, 1), (labels.second, 1)] if second else [(labels.signed, 2)]
    cells, at = "", 0
    for name, span in names:
        centre = "center" if at >= 4 else ""
        text = para(run(name), "ProcListHead", keep=True, align=centre)
        cells += cell(sum(widths[at : at + span]), text, span=span, fill=HEAD, middle=True)
        at += span
    return row(cells, header=True)


def _step(desk: Desk, step: StepRow, widths: Widths, *, second: bool) -> str:
    """Hazard rows, the step's own row, then a row for each thing recorded in it."""
    parts = [hazard_rows(desk, step.hazards, widths)]
    below = bool(step.blanks or step.isolators or step.torque or step.figures)
    parts.append(_instruction(desk, step, widths, second=second, below=below))
    more = [bool(step.isolators or step.blanks or step.torque)] * len(step.figures)
    parts += [_figure(desk, shown, widths, keep=keep) for shown, keep in zip(step.figures, more, strict=True)]
    if step.isolators:
        parts.append(_isolators(desk, step, widths))
    parts.append(entry_rows(desk, step, widths, _indent(step)))
    if step.torque:
        parts.append(torque_rows(desk, step.torque, widths, step.number))
    return "".join(parts)


def _indent(step: StepRow) -> int:
    return _INDENT * min(step.level, _DEEPEST)


def _instruction(desk: Desk, step: StepRow, widths: Widths, *, second: bool, below: bool) -> str:
    """Number and role, the words, the box, and a cell for initials or for why it was not done."""
    cells = _number(desk, step, widths[0], below=below)
    cells += cell(sum(widths[1:4]), _words(desk, step, second=second, below=below), span=3)
    cells += tick_cell(desk.marks, step.tick, widths[4], step.number, keep=below)
    if second:
        cells += entry_cell(desk.marks, step.initials, widths[5], step.number, keep=below)
        cells += entry_cell(desk.marks, step.second, widths[6], step.number, keep=below)
    else:
        cells += _signed(desk, step, sum(widths[5:]), keep=below)
    return row(cells, height=500)


def _number(desk: Desk, step: StepRow, width: int, *, below: bool) -> str:
    """The number, and under it who does the step and how long it takes."""
    size = 0 if len(step.number) <= 5 else 24 if len(step.number) <= 6 else 22
    text = para(desk.marks.anchor(step.anchor, run(step.number, size=size)), "ProcNumber", keep=below)
    text += "".join(para(run(line), "ProcRole", keep=below) for line in (step.by, step.takes) if line)
    return cell(width, text, borders=under(step.level, below=below))


def _words(desk: Desk, step: StepRow, *, second: bool, below: bool) -> str:
    """Instruction sentence by sentence; plain details run on, a detail that changes what is done has its own line."""
    labels, indent = desk.labels, _indent(step)
    lines = [desk.words(text) for text in step.instruction]
    for runs_on, group in groupby(step.details, lambda text: isinstance(text, str)):
        some = list(group)
        lines += [run(" ".join(map(plain, some)))] if runs_on else [desk.words(text) for text in some]
    for name, text in ((labels.expect, step.expect), (labels.limit, "" if own_limit(step) else step.limit)):
        if text:
            lines.append(run(f"{name}: ", bold=True) + desk.words(text))
    if second and step.otherwise:
        lines.append(control(desk.marks, step.otherwise, step.number, size=17))
    return "".join(para(line, "ProcInstruction", keep=below, indent=indent) for line in lines)


def _signed(desk: Desk, step: StepRow, width: int, *, keep: bool) -> str:
    """Tinted, with room for initials, where they are asked for; and the boxes of a step not done as written."""
    inside = ""
    if step.initials:
        inside += para(control(desk.marks, step.initials, step.number), "ProcEntry", keep=keep)
    if step.otherwise:
        inside += para(control(desk.marks, step.otherwise, step.number, size=16, stacked=True), "ProcWhyNot", keep=keep)
    if not inside:
        return entry_cell(desk.marks, None, width, step.number, span=2, keep=keep)
    return cell(width, inside, span=2, fill=ENTRY if step.initials else "", middle=not step.initials)


def _isolators(desk: Desk, step: StepRow, widths: Widths) -> str:
    """A row for each device: tag and name, position in words, box, lock number, initials; a head where locks go on.

    Columns nobody fills in at this step run together in one grey cell.
    """
    lock = any(device.lock for device in step.isolators)
    signed = any(device.initials for device in step.isolators)
    out = _isolator_head(desk, step, widths, signed=signed) if lock else ""
    whole = len(step.isolators) <= _WHOLE
    for at, device in enumerate(step.isolators):
        more = bool(step.blanks or step.torque) or at < len(step.isolators) - 1
        both = lock and signed
        out += _isolator(desk, device, step, widths, more=more, keep=more and (at == 0 or whole), both=both)
    return out


def _isolator_head(desk: Desk, step: StepRow, widths: Widths, *, signed: bool) -> str:
    labels = desk.labels
    head = cell(widths[0], para("", "ProcCellHead", keep=True), borders=under(step.level, above=True, below=True))
    names = [(labels.isolator, 1, 2), (labels.position, 3, 1), (labels.done, 4, 1)]
    names += [(labels.lock, 5, 1), (labels.initials, 6, 1)] if signed else [(labels.lock, 5, 2)]
    for name, at, span in names:
        text = para(run(name), "ProcCellHead", keep=True, align="center" if at > 3 else "")
        head += cell(sum(widths[at : at + span]), text, span=span, fill=PALE, middle=True)
    return row(head)


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
        cell(widths[0], number, borders=under(step.level, above=True, below=more), middle=True)
        + cell(sum(widths[1:3]), para(name, "ProcInstruction", keep=keep), span=2, middle=True)
        + cell(widths[3], para(run(device.position, bold=True), "ProcInstruction", keep=keep), middle=True)
        + tick
        + last,
        height=440,
    )


def _figure(desk: Desk, shown: Figure, widths: Widths, *, keep: bool) -> str:
    return row(cell(sum(widths), figure(desk, shown, sum(widths) - 200, keep=keep), span=7))
