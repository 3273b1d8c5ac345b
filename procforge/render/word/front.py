"""The first page and the last: name-plate check, identification, control of the document; close-out."""

from __future__ import annotations

from procforge.render.word.blanks import control, entry_cell
from procforge.render.word.desk import Desk
from procforge.render.word.logo import logo_size
from procforge.render.word.markup import ENTRY, GAP, HEAD, PALE, cell, clip, para, row, run, shares, table
from procforge.render.word.pictures import drawing
from procforge.render.word.tables import head_row, key_values, list_table, signature_table
from procforge.sheet.inline import Cell
from procforge.sheet.outline import CloseOut, Control, KeyValues, ListTable, NamePlate, Sheet


def front_matter(desk: Desk, sheet: Sheet) -> str:
    """Title, name-plate check, identification, cautions, purpose, signatures and changes."""
    data, labels = sheet.control, desk.labels
    out = []
    if data.organisation or data.logo:
        out.append(_organisation(desk, data))
    out.append(para(run(data.title), "Title"))
    if data.mark:
        out.append(para(run(data.mark, bold=True, size=26, colour="C8102E"), "ProcInstruction"))
    if sheet.name_plate:
        out += [name_plate(desk, sheet.name_plate), GAP]
    out += [_identification(desk, data), GAP]
    out.append(para(run(labels.check_revision, bold=True) + run(f" {labels.caution_line}"), "ProcInstruction"))
    if data.purpose:
        out.append(para(run(data.purpose), "ProcInstruction"))
    if data.references:
        out.append(para(run(f"{labels.references}: ", bold=True) + run("; ".join(data.references)), "ProcInstruction"))
    out.append(GAP)
    if data.signatures:
        out += [signature_table(desk, data.signatures, labels.approvals), GAP]
    if data.changes:
        changes = tuple((one.revision, one.date, one.text) for one in data.changes)
        head = (labels.revision, labels.date, labels.changes)
        out += [list_table(desk, ListTable(head, changes, widths=(1, 1.3, 6))), GAP]
    return "".join(out)


def _organisation(desk: Desk, data: Control) -> str:
    """Whose sheet it is: the mark, and beside it the name over what the paper is."""
    words = para(run(data.organisation, bold=True, size=24), "ProcList") if data.organisation else ""
    words += para(run(desk.labels.kind), "ProcList")
    if not data.logo:
        return words
    across, down = logo_size(data.logo, 45.0, 14.0)
    art = para(drawing(desk, data.logo, data.organisation or desk.labels.kind, width=across, height=down), "ProcList")
    first = across // 635 + 240
    cells = cell(first, art, middle=True) + cell(desk.width - first, words, middle=True)
    return table((first, desk.width - first), row(cells), ruled=False) + GAP


def name_plate(desk: Desk, plate: NamePlate) -> str:
    """The first thing read: what the plate must say, room for what it says, and the order to stop if it differs."""
    labels = desk.labels
    widths = shares(desk.width, (1.4, 2.3, 2.3))
    head = para(run(labels.name_plate, bold=True, size=24, colour="FFFFFF"), "ProcBar", keep=True)
    rows = row(cell(sum(widths), head, span=3, fill=HEAD, middle=True), header=True)
    names = ("", labels.on_sheet, labels.on_plate)
    rows += row(
        "".join(
            cell(width, para(run(name), "ProcCellHead", keep=True), fill=PALE)
            for name, width in zip(names, widths, strict=True)
        ),
        header=True,
    )
    for name, value, blank in plate.rows:
        rows += row(
            cell(widths[0], para(run(name, bold=True), "ProcInstruction", keep=True), middle=True)
            + cell(widths[1], para(run(value, bold=True), "ProcInstruction", keep=True), middle=True)
            + entry_cell(desk.marks, blank, widths[2], name, keep=True),
            height=440,
        )
    stop = para(run(labels.name_plate_stop, bold=True, colour="C8102E"), "ProcInstruction")
    if plate.tick:
        tick = para(
            control(desk.marks, plate.tick, labels.name_plate[:20]) + run(f"\u00a0{plate.tick.label}"), "ProcTick"
        )
        rows += row(cell(sum(widths[:2]), stop, span=2, middle=True) + cell(widths[2], tick, middle=True))
    else:
        rows += row(cell(sum(widths), stop, span=3, middle=True))
    return table(widths, rows, title=labels.name_plate)


def _identification(desk: Desk, data: Control) -> str:
    labels = desk.labels
    order: Cell = data.work_order or ""
    pairs: tuple[tuple[str, Cell], ...] = (
        (labels.number, data.number),
        (labels.equipment, " ".join(part for part in (data.tag, data.equipment) if part)),
        (labels.revision, f"{data.revision}, {data.date}" if data.date else data.revision),
        (labels.model, data.model),
        (labels.status, data.status),
        (labels.service, data.service),
        (labels.work_order, order),
        (labels.serial, data.serial),
    )
    return key_values(desk, KeyValues(tuple((name, value) for name, value in pairs if value), columns=2))


def close_out(desk: Desk, block: CloseOut) -> str:
    """Parts used, as-left values, remarks, last signatures, and where the sheet is kept."""
    labels = desk.labels
    out = []
    for part in block.tables:
        out += [list_table(desk, part) if isinstance(part, ListTable) else key_values(desk, part), GAP]
    if block.kept:  # before the large boxes: after the signatures it would often stand alone on a page
        out += [para(run(block.kept), "ProcInstruction"), GAP]
    for blank in block.remarks:
        head = head_row((blank.label,), (desk.width,))
        text = para(control(desk.marks, blank, labels.closing), "ProcEntry")
        out += [
            table((desk.width,), head + row(cell(desk.width, text, fill=ENTRY), height=1000), title=blank.label),
            GAP,
        ]
    if block.signatures:
        out += [signature_table(desk, block.signatures, labels.closing), GAP]
    return "".join(out)


def short_hash(source_hash: str) -> str:
    """The first sixteen signs in groups of four, as printed at the foot: enough to tell two prints apart."""
    head = clip("".join(source_hash.split()), 64)[:16].upper()
    return " ".join(head[at : at + 4] for at in range(0, len(head), 4))
