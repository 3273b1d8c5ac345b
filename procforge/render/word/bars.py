"""Rows that stand across the step table: holds, decisions, rounds, groups, stops and where-we-are."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.render.word.blanks import entry_cell, tick_cell
from procforge.render.word.desk import Desk
from procforge.render.word.markup import HEAD, INK, PALE, border, box, cell, para, row, run
from procforge.sheet.inline import Blank, Prose, Run
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    GroupHead,
    GroupKind,
    HoldBar,
    HoldKind,
    RoundHead,
    StopRow,
    WhereWeAre,
)

Widths = tuple[int, ...]
ASK = "FBE9B7"
WAY = "1F5F99"
STOP = "C8102E"
STEM = 24  # width of the bar that marks rows inside a branch, eighths of a point


def stem(level: int) -> str:
    """The left border of a row inside `level` heads."""
    return border("left", STEM, WAY) if level else ""


def entries_across(
    desk: Desk, blanks: Sequence[Blank], widths: Widths, where: str, colour: str, *, thick: int = 18
) -> str:
    """Labelled entry cells side by side, at most four a row, inside a frame of `colour`."""
    spans = {1: (7,), 2: (3, 4), 3: (3, 1, 3), 4: (2, 1, 1, 3)}
    out = []
    for at in range(0, len(blanks), 4):
        some = blanks[at : at + 4]
        last = at + 4 >= len(blanks)
        cells, column = "", 0
        for number, (blank, span) in enumerate(zip(some, spans[len(some)], strict=True)):
            sides = border("left", thick, colour) if number == 0 else ""
            sides += border("bottom", thick, colour) if last else ""
            sides += border("right", thick, colour) if number == len(some) - 1 else ""
            width = sum(widths[column : column + span])
            cells += entry_cell(desk.marks, blank, width, where, span=span, keep=not last, label=True, borders=sides)
            column += span
        out.append(row(cells, height=660))
    return "".join(out)


def _frame(content: str, widths: Widths, colour: str, *, last: bool, fill: str = "", thick: int = 18) -> str:
    """One cell over all seven columns, framed left and right, and below if it is the last of its frame."""
    sides = border("left", thick, colour) + (border("bottom", thick, colour) if last else "")
    return row(cell(sum(widths), content, span=7, fill=fill, borders=sides + border("right", thick, colour)))


def _bar(content: str, widths: Widths, colour: str) -> str:
    return row(cell(sum(widths), content, span=7, fill=colour, borders=box(18, colour), middle=True))


def hold_rows(desk: Desk, hold: HoldBar, widths: Widths) -> str:
    """The bar, what is seen and by whom, and the cells to sign; one piece, kept together."""
    labels = desk.labels
    word, says, who, colour = {
        HoldKind.HOLD: (labels.hold, labels.hold_says, labels.released_by, "000000"),
        HoldKind.WITNESS: (labels.witness, labels.witness_says, labels.witnessed_by, "3F4C56"),
        HoldKind.REVIEW: (labels.review, labels.review_says, labels.reviewed_by, "5B6770"),
    }[hold.kind]
    head = run(f"{word} {hold.number}".upper(), size=26, bold=True, colour="FFFFFF")
    bar = para(desk.marks.anchor(hold.anchor, head) + run(f"   {says}", colour="FFFFFF"), "ProcBar", keep=True)
    keep = bool(hold.blanks)
    text = para(run(hold.text, bold=True), "ProcInstruction", keep=keep)
    if hold.criterion:
        line = run(f"{labels.released_if}: ", bold=True) + desk.words(hold.criterion)
        text += para(line, "ProcInstruction", keep=keep)
    text += para(run(f"{who}: ", bold=True) + run(hold.role), "ProcInstruction", keep=keep)
    return (
        _bar(bar, widths, colour)
        + _frame(text, widths, colour, last=not hold.blanks)
        + entries_across(desk, hold.blanks, widths, hold.number, colour)
    )


def decision_row(desk: Desk, head: DecisionHead, widths: Widths) -> str:
    """The question, kept with its first answer; one without a number of its own stands across."""
    question = run(f"{desk.labels.decision}. ", bold=True, colour=WAY) + run(head.text, bold=True)
    question += run(f"   {desk.labels.tick_one}.", size=19)
    if not head.number:
        words = para(desk.marks.anchor(head.anchor, question), "ProcBar", keep=True)
        return row(cell(sum(widths), words, span=7, fill=ASK, borders=stem(head.level), middle=True))
    number = para(desk.marks.anchor(head.anchor, run(head.number)), "ProcNumber", keep=True)
    return row(
        cell(widths[0], number, fill=ASK, borders=stem(head.level), middle=True)
        + cell(sum(widths[1:]), para(question, "ProcInstruction", keep=True), span=6, fill=ASK, middle=True)
    )


def arm_row(desk: Desk, arm: Arm, widths: Widths, *, keep: bool) -> str:
    """One answer and where it leads; the rows it holds are marked by a bar at their left."""
    text = desk.words(arm.text, bold=True)
    if arm.goes:
        text += run(" ") * bool(arm.text) + desk.words(arm.goes)
    name = para(run(f"\u25ba\u00a0{arm.label}", bold=True, colour=WAY, size=21), "ProcInstruction", keep=keep)
    left = border("left", STEM, WAY)
    return row(
        cell(sum(widths[:2]), name, span=2, fill=PALE, borders=left, middle=True)
        + cell(sum(widths[2:4]), para(text, "ProcInstruction", keep=keep), span=2, fill=PALE, middle=True)
        + tick_cell(desk.marks, arm.tick, widths[4], arm.label, keep=keep, size=28)
        + cell(sum(widths[5:]), para("", "ProcEntry", keep=keep), span=2, fill=PALE),
        height=400,
    )


def _head_row(desk: Desk, word: str, text: Prose, widths: Widths, level: int, anchor: str, *, fill: str) -> str:
    colour = "FFFFFF" if fill == WAY else INK
    words = desk.marks.anchor(anchor, run(word, bold=True, colour=colour)) if word else ""
    words += run("  ", colour=colour) * bool(word and text) + desk.words(text, bold=not word, colour=colour)
    side = border("left", STEM, WAY) if level or fill != HEAD else ""
    return row(cell(sum(widths), para(words, "ProcBar", keep=True), span=7, fill=fill, borders=side, middle=True))


def round_row(desk: Desk, head: RoundHead, widths: Widths) -> str:
    """The head of one round of a repeat."""
    word = f"{desk.labels.round} {head.number} {desk.labels.page_of} {head.most}".upper()
    return _head_row(desk, word, head.text, widths, head.level, "", fill=WAY)


def group_row(desk: Desk, head: GroupHead, widths: Widths, more: Sequence[GroupHead] = ()) -> str:
    """The head of a group: any order, together, a lane, a variant, or plain words; `more` heads within it run on."""
    words = {
        GroupKind.ANY_ORDER: desk.labels.any_order,
        GroupKind.TOGETHER: desk.labels.together,
        GroupKind.VARIANT: desk.labels.only_for,
    }
    word = words.get(head.kind, "").upper()
    fill = PALE if head.kind is GroupKind.LANE else "DCE6EE"
    text: list[str | Run] = []
    for one in (head, *more):
        text += [*(("   ",) if text else ()), *(one.text if isinstance(one.text, tuple) else (one.text,))]
    return _head_row(desk, word, tuple(text), widths, head.level, head.anchor, fill=fill)


def stop_rows(desk: Desk, stop: StopRow, widths: Widths) -> str:
    """The end of a way: a frame in red, and blanks for when and by whom it was stopped."""
    head = run(f"{stop.number}  ", size=26, bold=True) * bool(stop.number)
    head += run(f"{desk.labels.stop}.", size=26, bold=True, colour=STOP)
    words = desk.marks.anchor(stop.anchor, head) + run("  ") + desk.words(stop.text, bold=True)
    if stop.call:
        words += run(f" {stop.call}")
    text = para(words, "ProcInstruction", keep=bool(stop.blanks))
    top = box(18, STOP, "top left" if stop.blanks else "top left bottom") + border("right", 18, STOP)
    return row(cell(sum(widths), text, span=7, borders=top, middle=True), height=480) + entries_across(
        desk, stop.blanks, widths, desk.labels.stop, STOP
    )


def where_rows(desk: Desk, state: WhereWeAre, widths: Widths) -> str:
    """The state at a stopping place, item by item, the way back, and the blanks."""
    number = f"{state.number}  " if state.number else ""
    title = run(f"{number}{desk.labels.where}: {state.title}", size=24, bold=True, colour="FFFFFF")
    out = _bar(para(desk.marks.anchor(state.anchor, title), "ProcBar", keep=True), widths, WAY)
    for name, text in state.state:
        out += row(
            cell(
                sum(widths[:2]),
                para(run(name, bold=True), "ProcBar", keep=True),
                span=2,
                fill=PALE,
                borders=border("left", 18, WAY),
            )
            + cell(
                sum(widths[2:]),
                para(desk.words(text), "ProcInstruction", keep=True),
                span=5,
                borders=border("right", 18, WAY),
            )
        )
    if state.come_back:
        lines = [para(run(f"{desk.labels.come_back}:", bold=True), "ProcInstruction", keep=True)]
        lines += [para(desk.words(line), "ProcInstruction", keep=bool(state.blanks)) for line in state.come_back]
        out += _frame("".join(lines), widths, WAY, last=not state.blanks)
    return out + entries_across(desk, state.blanks, widths, desk.labels.where, WAY)
