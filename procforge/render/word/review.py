"""The review table: number and source line, words once or side by side by variant, agreement and comment.

Number | twelve narrow columns | agreed | comment. Twelve, so that two, three or four ways share them evenly; more
ways go on in a further row.
"""

from __future__ import annotations

from procforge.render.word.bars import ASK, STOP, WAY, stem
from procforge.render.word.blanks import entry_cell, tick_cell
from procforge.render.word.desk import Desk
from procforge.render.word.markup import ENTRY, HEAD, INK, PALE, border, cell, esc, para, row, run, shares, table
from procforge.render.word.panels import LOOKS, signal_word
from procforge.render.word.tables import head_row
from procforge.sheet.review_rows import Band, Line, ReviewKind, ReviewRow, ReviewSteps

_AREA = 12
_ABREAST = 4
_INDENT = 110
_SMALL = 14  # half points: source line, numbers on the sheets
_FILLS = {ReviewKind.DECISION: ASK, ReviewKind.ARM: PALE, ReviewKind.HEAD: "DCE6EE", ReviewKind.SIGN: PALE}
_LEADS = frozenset({ReviewKind.DECISION, ReviewKind.ARM, ReviewKind.HEAD})  # kept with the row after them
_APART = "F3F7FA"
_QUIET = "55606A"

Widths = tuple[int, ...]


def review_table(desk: Desk, block: ReviewSteps) -> str:
    """The whole table; without agreement and comment where the head names none."""
    comments = bool(block.head[2] or block.head[3])
    ends = (0.95, 2.9) if comments else ()
    widths = shares(desk.width, (1.35, *(9.2 / _AREA,) * _AREA, *ends))
    area = sum(widths[1 : _AREA + 1])
    names = block.head if comments else block.head[:2]
    head = head_row(names, (widths[0], area, *widths[_AREA + 1 :]), (2,), spans=(1, _AREA, *(1,) * len(ends)))
    rows = [head]
    for at, line in enumerate(block.rows):
        signed = at + 1 < len(block.rows) and block.rows[at + 1].kind is ReviewKind.SIGN
        rows.append(_row(desk, line, widths, comments=comments, keep=signed or line.kind in _LEADS))
    return desk.marks.anchor(block.anchor, table(widths, "".join(rows), title=block.head[1]))


def _row(desk: Desk, line: ReviewRow, widths: Widths, *, comments: bool, keep: bool) -> str:
    """A row of the table for each band; they are one piece on the page."""
    if line.kind is ReviewKind.SIGN:
        return _sign(desk, line, widths)
    strips: list[tuple[tuple[str, tuple[Line, ...]], ...]] = []
    for band in line.bands or (Band((("", ()),)),):
        strips += [band.ways[at : at + _ABREAST] for at in range(0, len(band.ways), _ABREAST)]
    asked = line.agree is not None or line.comment is not None
    out = []
    for at, strip in enumerate(strips):
        first, last = at == 0, at == len(strips) - 1
        held = keep or not last
        across = comments and not asked and len(strip) == 1
        cells = _number(desk, line, widths[0], first=first, last=last, keep=held)
        cells += _words(desk, line, strip, widths, first=first, keep=held, area=_AREA + 2 * across)
        if comments and not across:
            sides = ("" if first else border("top")) + ("" if last else border("bottom"))
            agree, comment = (line.agree, line.comment) if first else (None, None)
            width, wide = widths[_AREA + 1], widths[_AREA + 2]
            cells += tick_cell(desk.marks, agree, width, line.number, keep=held, borders=sides)
            if comment is not None:
                cells += entry_cell(desk.marks, comment, wide, line.number, keep=held, borders=sides)
            else:
                fill = ENTRY if line.comment is not None else ""
                cells += cell(wide, para("", "ProcEntry", keep=held), fill=fill, borders=sides)
        out.append(row(cells))
    return "".join(out)


def _number(desk: Desk, line: ReviewRow, width: int, *, first: bool, last: bool, keep: bool) -> str:
    sides = ("" if first else border("top")) + stem(line.level) + ("" if last else border("bottom"))
    if not first:
        return cell(width, para("", "ProcList", keep=keep), borders=sides)
    lines = []
    hold = line.kind is ReviewKind.HOLD
    if line.number and line.kind is not ReviewKind.ARM:
        number = desk.marks.anchor(line.anchor, run(line.number, bold=True, colour="FFFFFF" if hold else ""))
        lines.append(para(number, "ProcNumberSmall", keep=keep))
    tint = "FFFFFF" if hold else _QUIET
    small = [text for text in (line.place, *line.sheets) if text]
    lines += [para(run(text, size=_SMALL, colour=tint), "ProcList", keep=keep) for text in small]
    fill = INK if hold else _FILLS.get(line.kind, "")
    return cell(width, "".join(lines) or para("", "ProcList", keep=keep), fill=fill, borders=sides)


def _words(
    desk: Desk, line: ReviewRow, strip: tuple[tuple[str, tuple[Line, ...]], ...], widths: Widths, *,
    first: bool, keep: bool, area: int,
) -> str:  # fmt: skip
    """The lines of one band: over the whole width, or a cell for each way under the names of its variants."""
    span = area // len(strip)
    cells, column = "", 1
    for name, lines in strip:
        apart = bool(name) or len(strip) > 1
        paras = ""
        if first and line.only:
            paras += para(
                run("Only for ", bold=True, colour=WAY) + run(line.only, bold=True, colour=WAY), "ProcList", keep=True
            )
        if first and line.kind is ReviewKind.ARM:
            word = run(f"\u25ba\u00a0{line.number}", bold=True, colour=WAY)
            paras += para(word, "ProcList", keep=True, indent=_INDENT * min(line.level, 6))
        if first and line.kind is ReviewKind.STOP:
            paras += para(run(f"{desk.labels.stop}.", bold=True, colour=STOP), "ProcList", keep=True)
        if apart:
            paras += para(run(name, bold=True, colour=WAY), "ProcList", keep=True)
        indent = 0 if apart else _INDENT * min(line.level, 6)
        strong = line.kind in (ReviewKind.DECISION, ReviewKind.HEAD) and len(lines) == 1
        paras += "".join(_line(desk, one, indent, keep=keep, strong=strong) for one in lines)
        if not lines and apart:
            paras += para(run("\u2013"), "ProcList", keep=keep)
        width = sum(widths[column : column + span])
        sides = border("left", 12, WAY) if apart else ""
        fill = _APART if apart else _FILLS.get(line.kind, "")
        cells += cell(width, paras or para("", "ProcList", keep=keep), span=span, fill=fill, borders=sides)
        column += span
    return cells


def _line(desk: Desk, line: Line, indent: int, *, keep: bool, strong: bool) -> str:
    words = ""
    if line.signal is not None:
        look = LOOKS[line.signal]
        words += _chip(f"\u00a0{signal_word(desk.labels, line.signal)}\u00a0", look.fill, look.ink) + run("  ")
    if line.label:
        words += run(f"{line.label}: ", bold=True)
    words += desk.words(line.text, bold=strong or line.signal is not None)
    return para(words, "ProcList", keep=keep, indent=indent)


def _chip(text: str, fill: str, ink: str) -> str:
    """A word on a coloured ground, in the line."""
    props = f'<w:b/><w:color w:val="{ink}"/><w:shd w:val="clear" w:color="auto" w:fill="{fill}"/>'
    return f'<w:r><w:rPr>{props}</w:rPr><w:t xml:space="preserve">{esc(text)}</w:t></w:r>'


def _sign(desk: Desk, line: ReviewRow, widths: Widths) -> str:
    """The last row of a section: its words, and cells for result, name and date."""
    words = "".join(
        _line(desk, one, 0, keep=False, strong=False) for band in line.bands for _, lines in band.ways for one in lines
    )
    cells = cell(widths[0], para("", "ProcList"), fill=HEAD)
    cells += cell(sum(widths[1:4]), words, span=3, fill=PALE, middle=True)
    spans = (6, 3, 2) if len(line.blanks) == 3 else (len(widths) - 4,)
    column = 4
    for blank, span in zip(line.blanks, spans, strict=False):
        width = sum(widths[column : column + span])
        cells += entry_cell(desk.marks, blank, width, "Section", span=span, label=True)
        column += span
    return row(cells, height=560)
