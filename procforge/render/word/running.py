"""The running head and foot, and the page: size, margins, and which way up."""

from __future__ import annotations

from typing import NamedTuple

from procforge.render.word.fitting import fitted
from procforge.render.word.front import short_hash
from procforge.render.word.logo import logo_run, logo_size
from procforge.render.word.markup import INK, border, cell, esc, para, row, run, shares, table
from procforge.sheet.labels import Labels
from procforge.sheet.lettering import width as measured
from procforge.sheet.outline import Control, Turn

_SPACES = (
    'xmlns:wp="http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing" '
    'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
)
PAPERS = {"A4": (11906, 16838), "Letter": (12240, 15840)}
_TOP, _FOOT, _LEFT, _RIGHT = 1400, 1130, 1134, 850  # the wider left margin is for the punch


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


#: Room of the control data at the right, of the mark and of the cells' own edges, in twips; a mark's size in mm.
_RIGHT_CELL, _EDGE = 3000, 180
_SLACK = 0.97  # of a line may be used: programs round widths
_LOGO_WIDE, _LOGO_HIGH = 24.0, 9.0
_TITLE, _WORDS = (22, 21, 20, 19, 18), (17, 16, 15)  # sizes tried, half points


def head_part(data: Control, labels: Labels, width: int, picture: tuple[str, int]) -> bytes:
    """The head, two lines: title and number, revision, status; the machine in hand and the work order to fill in.

    `picture` is the relation to the mark and its number.
    """
    mark = int(logo_size(data.logo, _LOGO_WIDE, _LOGO_HIGH)[0] / 635) + _EDGE if data.logo else 0
    widths = (*((mark,) if mark else ()), width - mark - _RIGHT_CELL, _RIGHT_CELL)
    room, beside = (widths[-2] - _EDGE) / 20 * _SLACK, (_RIGHT_CELL - _EDGE) / 20 * _SLACK
    title, size = fitted((data.title,), room, _TITLE, bold=True)
    if title != data.title:  # two lines of the smallest
        title, size = fitted((data.title,), 1.9 * room, _TITLE[-1:], bold=True)
    left = para(run(title, bold=True, size=size), "ProcRunning")
    left += para(_machine(data, room), "ProcRunning")
    number = f"{data.number} {labels.rev}\u00a0{data.revision}".strip()
    words, size = fitted((f"{number} \u00b7 {data.status}",), beside, (18, *_WORDS), bold=True)
    right = para(run(words, bold=True, size=size), "ProcRunning", align="right")
    if data.work_order:
        named = f"{labels.work_order} "
        line = max(8, int((beside - measured(named, 8.5)) / measured("_", 8.5)) - 1)
        right += para(run(named) + run("_" * min(line, 24)), "ProcRunning", align="right")
    cells = [left, right]
    if mark:
        alt = data.organisation or data.title
        cells.insert(0, para(logo_run(*picture, data.logo, alt, _LOGO_WIDE, _LOGO_HIGH), "ProcRunning"))
    under = border("bottom", 12, INK)
    made = "".join(cell(size, text, borders=under, middle=True) for size, text in zip(widths, cells, strict=True))
    warning = para(run(data.mark, bold=True, colour="C8102E"), "ProcRunning", align="center") if data.mark else ""
    return _part("hdr", table(widths, row(made), ruled=False) + (warning or para("", "ProcGap")))


def _machine(data: Control, room: float) -> str:
    """The tag, and what the machine is: model and service go before its title where not all has room."""
    tag = f"{data.tag}  " if data.tag else ""
    variant = ", ".join(part for part in (data.model, data.service) if part)
    whole = " \u00b7 ".join(part for part in (data.equipment, variant) if part)
    brief = " \u00b7 ".join(part for part in (data.equipment.partition(",")[0], variant) if part)
    texts = [text for text in dict.fromkeys((whole, brief, variant or data.equipment)) if text] or [""]
    words, size = fitted(texts, room, _WORDS, fixed=measured(tag, _WORDS[0] / 2, bold=True))
    return (run(tag, bold=True) if tag else "") + (run(words, size=size) if words else "")


def foot_part(data: Control, labels: Labels, width: int) -> bytes:
    """The foot: check the revision, whose sheet and of what date; defer to maker, site and law; page x of y, source."""
    widths = shares(width, (3.4, 1.4))
    room = (widths[0] - _EDGE) / 20 * _SLACK
    issue = f"{data.number} {labels.rev}\u00a0{data.revision}" + (f", {data.date}" if data.date else "")
    texts = [" \u00b7 ".join(part for part in parts if part) for parts in ((data.organisation, issue), (issue,))]
    check = measured(f"{labels.check_revision}  ", 8.5, bold=True)
    words, size = fitted(list(dict.fromkeys(texts)), room, _WORDS, fixed=check)
    left = para(run(f"{labels.check_revision}  ", bold=True) + run(words, size=size), "ProcRunning")
    caution, size = fitted((labels.caution_line,), room, _WORDS)
    left += para(run(caution, size=size), "ProcRunning")
    pages = run(f"{labels.page} ") + _field("PAGE") + run(f" {labels.page_of} ") + _field("NUMPAGES")
    right = para(pages, "ProcRunning", align="right")
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
