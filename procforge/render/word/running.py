"""The running head and foot, and the page: size, margins, and which way up."""

from __future__ import annotations

from typing import NamedTuple

from procforge.render.word.front import short_hash
from procforge.render.word.markup import INK, border, cell, clip, esc, para, row, run, shares, table
from procforge.sheet.labels import Labels
from procforge.sheet.outline import Control, Turn

_SPACES = (
    'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
)
PAPERS = {"A4": (11906, 16838), "Letter": (12240, 15840)}
_TOP, _FOOT, _LEFT, _RIGHT = 1680, 1130, 1134, 850  # the wider left margin is for the punch


class Page(NamedTuple):
    """A page lying one way, in twips."""

    across: int
    down: int
    turn: Turn

    @property
    def width(self) -> int:
        """Text width."""
        return self.across - _LEFT - _RIGHT

    @property
    def height(self) -> int:
        """Text height."""
        return self.down - _TOP - _FOOT


def page(paper: str, turn: Turn) -> Page:
    """The page for a paper name, "A4" or "Letter"."""
    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r} is not known; use one of {', '.join(PAPERS)}")
    across, down = PAPERS[paper]
    return Page(across, down, turn) if turn is Turn.PORTRAIT else Page(down, across, turn)


def section(lying: Page, head: str, foot: str) -> str:
    """Section properties, with the relations of its head and foot."""
    turn = ' w:orient="landscape"' if lying.turn is Turn.LANDSCAPE else ""
    return (
        f'<w:sectPr><w:headerReference w:type="default" r:id="{head}"/>'
        f'<w:footerReference w:type="default" r:id="{foot}"/>'
        f'<w:pgSz w:w="{lying.across}" w:h="{lying.down}"{turn}/>'
        f'<w:pgMar w:top="{_TOP}" w:right="{_RIGHT}" w:bottom="{_FOOT}" w:left="{_LEFT}" w:header="500" w:footer="430"'
        ' w:gutter="0"/></w:sectPr>'
    )


def head_part(data: Control, labels: Labels, width: int) -> bytes:
    """The head: what the sheet is and for what, its control data, work order to fill, and page x of y."""
    widths = shares(width, (4.7, 2.6, 2.3))
    # "No." and values are clipped: a head that grew with its words would push the steps off the page.
    unit = " ".join(part for part in (data.tag, data.equipment) if part)
    variant = ", ".join(part for part in (data.model, data.service) if part)
    left = (
        para(run(clip(f"{labels.kind}  {data.organisation}".strip(), 70)), "ProcRunning")
        + para(run(clip(data.title, 80), bold=True, size=22), "ProcRunning")
        + para(run(clip(" \u00b7 ".join(part for part in (unit, variant) if part), 110)), "ProcRunning")
    )
    middle = (
        para(run(f"{labels.number} ") + run(clip(data.number, 30), bold=True), "ProcRunning")
        + para(run(f"{labels.revision} ") + run(clip(f"{data.revision}  {data.date}", 30), bold=True), "ProcRunning")
        + para(run(f"{labels.status} ") + run(clip(data.status, 30), bold=True), "ProcRunning")
    )
    pages = run(f"{labels.page} ") + _field("PAGE") + run(f" {labels.page_of} ") + _field("NUMPAGES")
    right = para(pages, "ProcRunning", align="right") + para("", "ProcRunning")
    if data.work_order:
        right += para(run(f"{labels.work_order} ") + run("_" * 13), "ProcRunning", align="right")
    line = border("bottom", 12, INK)
    cells = "".join(cell(size, text, borders=line) for size, text in zip(widths, (left, middle, right), strict=True))
    mark = para(run(data.mark, bold=True, colour="C8102E"), "ProcRunning", align="center") if data.mark else ""
    return _part("hdr", table(widths, row(cells), ruled=False) + (mark or para("", "ProcGap")))


def foot_part(data: Control, labels: Labels, width: int) -> bytes:
    """The foot: check the revision, defer to maker, site and law; date and source on the right."""
    widths = shares(width, (3.4, 1.4))
    left = para(run(labels.check_revision, bold=True), "ProcRunning") + para(run(labels.caution_line), "ProcRunning")
    right = para(run(f"{data.number} {data.revision}  {data.date}"[:60]), "ProcRunning", align="right")
    source = run(f"{labels.source} ") + run(short_hash(data.source_hash), bold=True)
    right += para(source, "ProcRunning", align="right")
    line = border("top", 8, INK)
    cells = "".join(cell(size, text, borders=line) for size, text in zip(widths, (left, right), strict=True))
    return _part("ftr", table(widths, row(cells), ruled=False) + para("", "ProcGap"))


def _field(name: str) -> str:
    return f'<w:fldSimple w:instr=" {name} ">{run("1", bold=True)}</w:fldSimple>'


def _part(kind: str, body: str) -> bytes:
    text = f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<w:{esc(kind)} {_SPACES}>{body}</w:{esc(kind)}>'
    return text.encode("utf-8")
