"""Torque data and its record on the seven-column grid: the joint's data, the pattern, and a row for each pass."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.render.word.bars import Widths
from procforge.render.word.blanks import entry_cell, tick_cell
from procforge.render.word.desk import Desk
from procforge.render.word.markup import HEAD, PALE, cell, para, row, run
from procforge.render.word.pictures import figure
from procforge.sheet.inline import Blank, Prose, Run
from procforge.sheet.labels import Labels
from procforge.sheet.rows import TorquePass, TorqueRecord

_SLOTS = {  # grid columns from, to
    1: ((0, 7),),
    2: ((0, 3), (3, 7)),
    3: ((0, 3), (3, 4), (4, 7)),
    4: ((0, 2), (2, 3), (3, 4), (4, 7)),
}


def torque_rows(desk: Desk, record: TorqueRecord, widths: Widths, where: str) -> str:
    """Rows for a torque record; data and the first pass are kept with what stands before them."""
    labels = desk.labels
    title = f"{labels.torque}: {record.joint}" + (f", {record.bolts}" if record.bolts else "")
    head = para(desk.marks.anchor(record.anchor, run(title)), "ProcListHead", keep=True)
    out = row(cell(sum(widths), head, span=7, fill=HEAD, middle=True))
    printed = [(n, t) for n, t in ((labels.lubricant, record.lubricant), (labels.target, record.target)) if t]
    asked = list(record.blanks)
    while printed or asked:
        room = 4 - len(printed[:4])
        out += _facts(desk, printed[:4], asked[:room], widths, where)
        printed, asked = printed[4:], asked[room:]
    for name, text in _said(record, labels):
        out += row(
            cell(sum(widths[:2]), para(run(name, bold=True), "ProcList", keep=True), span=2, fill=PALE)
            + cell(sum(widths[2:]), para(desk.words(text), "ProcInstruction", keep=True), span=5)
        )
    if record.figure:
        out += row(cell(sum(widths), figure(desk, record.figure, sum(widths) - 200, keep=True), span=7))
    if record.passes:
        out += _pass_head(desk, widths, _unit(record))
        last = len(record.passes) - 1
        unit = not _unit(record)  # then each cell says its own
        for at, one in enumerate(record.passes):
            out += _pass(desk, one, widths, where, keep=at < last, unit=unit)
    return out


def _said(record: TorqueRecord, labels: Labels) -> list[tuple[str, Prose]]:
    """The lines under the facts; the pattern and the order that follows from it are one."""
    lines: list[tuple[str, Prose]] = [(labels.pattern, record.pattern)] * bool(record.pattern) + list(record.data)
    if record.pattern and record.data and record.data[0][0] == labels.order:
        lines[:2] = [(labels.pattern, (f"{record.pattern}; ", *_pieces(record.data[0][1])))]
    return lines


def _pieces(text: Prose) -> tuple[str | Run, ...]:
    return text if isinstance(text, tuple) else (text,)


def _facts(desk: Desk, printed: Sequence[tuple[str, Prose]], asked: Sequence[Blank], widths: Widths, where: str) -> str:
    """Up to four facts side by side, each under its name: first what is given, then what is written down."""
    slots = _SLOTS[len(printed) + len(asked)]
    cells = ""
    for (name, text), (start, stop) in zip(printed, slots, strict=False):
        words = para(run(name, bold=True), "ProcEntryLabel", keep=True)
        words += para(desk.words(text), "ProcInstruction", keep=True)
        cells += cell(sum(widths[start:stop]), words, span=stop - start)
    for blank, (start, stop) in zip(asked, slots[len(printed) :], strict=True):
        width = sum(widths[start:stop])
        cells += entry_cell(desk.marks, blank, width, where, span=stop - start, keep=True, label=True)
    return row(cells, height=600)


def _unit(record: TorqueRecord) -> str:
    """The unit of all readings, to stand in the head: the cells are narrow and leave it no room."""
    units = {one.reading.unit for one in record.passes if one.reading}
    return units.pop() if len(units) == 1 else ""


def _pass_head(desk: Desk, widths: Widths, unit: str) -> str:
    labels = desk.labels
    names = (
        (labels.pass_, 0, 1),
        (labels.order, 1, 2),
        (labels.value, 3, 1),
        (labels.done, 4, 1),
        (f"{labels.reading} {unit}" if unit else labels.reading, 5, 1),
        (labels.initials, 6, 1),
    )
    cells = ""
    for name, at, span in names:
        text = para(run(name), "ProcCellHead", keep=True, align="center" if at > 3 else "")
        cells += cell(sum(widths[at : at + span]), text, span=span, fill=PALE, middle=True)
    return row(cells)


def _pass(desk: Desk, one: TorquePass, widths: Widths, where: str, *, keep: bool, unit: bool) -> str:
    """One pass; the clock of a timed pass gets a row of its own under it."""
    title = f"{where} {desk.labels.pass_.lower()} {one.number}".strip()
    together = keep or one.time is not None
    order = ", ".join(part for part in (one.level, one.order) if part)
    out = row(
        cell(widths[0], para(run(one.number, bold=True), "ProcNumberSmall", keep=together), middle=True)
        + cell(sum(widths[1:3]), para(run(order), "ProcInstruction", keep=together), span=2, middle=True)
        + cell(widths[3], para(desk.words(one.torque, bold=True), "ProcInstruction", keep=together), middle=True)
        + tick_cell(desk.marks, one.tick, widths[4], title, keep=together)
        + entry_cell(desk.marks, one.reading, widths[5], title, keep=together, unit=unit)
        + entry_cell(desk.marks, one.initials, widths[6], title, keep=together),
        height=440,
    )
    if one.time:
        name = para(run(one.time.label, bold=True), "ProcList", keep=keep)
        out += row(
            cell(sum(widths[:4]), name, span=4, fill=PALE, middle=True)
            + entry_cell(desk.marks, one.time, sum(widths[4:]), title, span=3, keep=keep),
            height=480,
        )
    return out
