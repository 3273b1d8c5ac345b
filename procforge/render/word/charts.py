"""The charts of a sheet as an annex: overview and one chart a section, side by side where they fit, one key for all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from procforge.render.word.desk import Desk
from procforge.render.word.markup import GAP, cell, para, row, run, shares, table
from procforge.render.word.pictures import drawing
from procforge.sheet.outline import ChartPages

if TYPE_CHECKING:
    from procforge.render.chart import Drawn

_DPI = 150  # of the chart at its full size; in print, made smaller, there are more dots to the inch
_USUAL, _LEAST = 0.85, 0.72  # of full size, at which letters have 10 pt: 8.5 pt, and 7.2 pt to save a page
_GAP_PT, _HEAD_PT = 18.0, 46.0  # between charts in a row with the margins of their cells; a heading over a chart
_EMU_PT = 12_700


def chart_pages(desk: Desk, block: ChartPages) -> str:
    """The annex; in place of charts that no layout program could draw, a line that says so."""
    from procforge.render.chart import NoLayout, key_of, laid_book, rasters

    try:
        drawn = laid_book(block.chart)
        pictures = dict(zip((one.chart for one in drawn), rasters(drawn, dpi=_DPI, dressed=False), strict=True))
    except NoLayout as error:
        desk.left_out.append(f"the charts are not in the sheet: {error}")
        return para(run(desk.labels.no_charts), "ProcInstruction")
    room = (desk.width / 20, desk.height / 20 - _HEAD_PT)
    parts = []
    key = key_of([one.chart for one in drawn], room[0] / _USUAL - 8, _DPI)
    if key:
        size = (key.size[0] * _USUAL, key.size[1] * _USUAL)
        parts.append(para(_picture(desk, key.png, key.alt, size), "ProcFigure", align="center"))
    for in_row in rows(drawn, room):
        scale = _scale(in_row, room)
        cells = [
            (
                run(desk.labels.overview if one is drawn[0] and len(drawn) > 1 else one.chart.title),
                _picture(desk, pictures[one.chart], one.tell(), (one.size[0] * scale, one.size[1] * scale)),
            )
            for one in in_row
        ]
        parts.append(_side_by_side(desk, in_row, cells) if len(cells) > 1 else _alone(cells[0], titled=len(drawn) > 1))
    return "".join(parts)


def rows(drawn: Sequence[Drawn], room: tuple[float, float]) -> list[list[Drawn]]:
    """The charts in order, as many in a row as fit `room` (width, height in points) in letters of 7.2 pt or more."""
    found: list[list[Drawn]] = []
    for number, one in enumerate(drawn):
        if number > 1 and _scale([*found[-1], one], room) >= _LEAST:  # the overview stands alone
            found[-1].append(one)
        else:
            found.append([one])
    return found


def _scale(in_row: Sequence[Drawn], room: tuple[float, float]) -> float:
    """At which part of their full size charts in a row are printed."""
    wide = room[0] - (_GAP_PT * len(in_row) if len(in_row) > 1 else 0.0)
    return min(_USUAL, wide / sum(one.size[0] for one in in_row), room[1] / max(one.size[1] for one in in_row))


def _picture(desk: Desk, png: bytes, alt: str, size: tuple[float, float]) -> str:
    return drawing(desk, png, alt, width=int(size[0] * _EMU_PT), height=int(size[1] * _EMU_PT))


def _alone(chart: tuple[str, str], *, titled: bool) -> str:
    head, picture = chart
    return (_head(head) if titled else "") + para(picture, "ProcFigure", align="center")


def _head(words: str) -> str:
    """A heading without the indent that leaves room for a number."""
    return (
        f'<w:p><w:pPr><w:pStyle w:val="Heading2"/><w:keepNext/><w:ind w:left="0" w:firstLine="0"/></w:pPr>{words}</w:p>'
    )


def _side_by_side(desk: Desk, in_row: Sequence[Drawn], cells: Sequence[tuple[str, str]]) -> str:
    """A table without rules: the headings are its head row, so that it reads in order."""
    widths = shares(desk.width, [one.size[0] + _GAP_PT for one in in_row])
    heads = "".join(cell(w, _head(head)) for w, (head, _) in zip(widths, cells, strict=True))
    below = "".join(
        cell(w, para(picture, "ProcFigure", align="center")) for w, (_, picture) in zip(widths, cells, strict=True)
    )
    title = f"{in_row[0].chart.title} and on"
    return table(widths, row(heads, header=True) + row(below), title=title, ruled=False) + GAP
