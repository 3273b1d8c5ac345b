"""The Word sheet: an outline in, a .docx out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from procforge.render.word import package
from procforge.render.word.bars import where_rows
from procforge.render.word.charts import chart_pages
from procforge.render.word.desk import Desk
from procforge.render.word.front import close_out, front_matter
from procforge.render.word.marks import Marks
from procforge.render.word.markup import GAP, para, run, table
from procforge.render.word.panels import hazard_block
from procforge.render.word.pictures import figure
from procforge.render.word.review import review_table
from procforge.render.word.running import Page, foot_part, head_part, page, section
from procforge.render.word.steps import grid, steps_table
from procforge.render.word.tables import acceptance_table, key_values, list_table
from procforge.render.word.torque import torque_rows
from procforge.sheet.outline import (
    AcceptanceTable,
    Block,
    ChartPages,
    CloseOut,
    Control,
    Figure,
    HazardPanel,
    Heading,
    KeyValues,
    ListTable,
    PageBreak,
    Paragraph,
    ReviewSteps,
    Sheet,
    Steps,
    TorqueRecord,
    Turn,
    WhereWeAre,
)

if TYPE_CHECKING:
    from docx.document import Document

_DOCUMENT = (
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    '<w:document xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
    ' xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
    ' xmlns:wp="http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing"'
    ' xmlns:w14="http://schemas.microsoft.com/office/word/2010/wordml"'
    ' xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006" mc:Ignorable="w14"><w:body>'
)
_NEW_PAGE = '<w:p><w:pPr><w:pStyle w:val="ProcGap"/><w:pageBreakBefore/></w:pPr></w:p>'
_THIN = '<w:spacing w:before="0" w:after="0" w:line="20" w:lineRule="exact"/>'
"""Of the paragraph that ends a section: a full page must not push it, and with it an empty page, over."""


def write_docx(sheet: Sheet, path: Path, *, paper: str = "A4", template: Path | None = None) -> list[str]:
    """Write the sheet as a .docx, whole or not at all; the same sheet gives the same bytes. Tells what had to be left out.

    `paper` is "A4" or "Letter"; `template` a customer's .docx whose styles are used where it has ours. Raises
    ValueError for an outline that contradicts itself (an id twice, rows longer than their head, a picture that is
    none), `TemplateError` for a template that is no .docx, OSError if the file cannot be written.
    """
    left_out: list[str] = []
    package.put(path, docx_bytes(sheet, paper=paper, template=template, left_out=left_out))
    return left_out


def docx_bytes(
    sheet: Sheet, *, paper: str = "A4", template: Path | None = None, left_out: list[str] | None = None
) -> bytes:
    """The .docx as bytes; see `write_docx`. `left_out` takes what had to be left out."""
    document = package.open_template(template)
    pages = {turn: page(paper, turn) for turn in Turn}
    first = pages[sheet.turn]
    desk = Desk(
        sheet.labels, Marks(), first.width, first.height, _pictures(document), [] if left_out is None else left_out
    )
    parts = [front_matter(desk, sheet)]
    runners: dict[Turn, tuple[str, str]] = {}
    turn = sheet.turn
    due = False  # a new page is wanted, if anything follows that does not begin one itself

    def close(lying: Page) -> str:
        if lying.turn not in runners:
            runners[lying.turn] = _runners(document, sheet, lying, desk)
        return section(lying, *runners[lying.turn])

    for block in sheet.blocks:
        alone = isinstance(block, WhereWeAre) and block.own_page
        if isinstance(block, PageBreak) and block.turn is turn:
            due = True
        elif isinstance(block, PageBreak):
            parts[-1] = parts[-1].removesuffix(GAP)
            parts.append(f'<w:p><w:pPr><w:pStyle w:val="ProcGap"/>{_THIN}{close(pages[turn])}</w:pPr></w:p>')
            turn, due = block.turn, False
            desk.width, desk.height = pages[turn].width, pages[turn].height
        else:
            if due or alone:
                parts[-1] = parts[-1].removesuffix(GAP)
                parts.append(_NEW_PAGE)
            parts.append(_block(desk, block))
            due = alone
    body = desk.marks.settle("".join(parts))
    _properties(document, sheet.control, sheet.labels.kind)
    return package.pack(document, f"{_DOCUMENT}{body}{close(pages[turn])}</w:body></w:document>".encode())


def _block(desk: Desk, block: Block) -> str:
    match block:
        case Heading():
            level = min(max(block.level, 1), 3)
            number = run(block.number) + "<w:r><w:tab/></w:r>" if block.number else ""
            return para(desk.marks.anchor(block.anchor, number + run(block.text)), f"Heading{level}")
        case Paragraph(bullet=True):
            mark = run("\u2022") + "<w:r><w:tab/></w:r>"
            words = desk.words(block.text, bold=block.strong)
            return para(mark + words, "ProcInstruction", indent=280, hanging=280)
        case Paragraph():
            return para(desk.words(block.text, bold=block.strong), "ProcInstruction")
        case KeyValues():
            return key_values(desk, block) + GAP
        case ListTable():
            return list_table(desk, block) + GAP
        case HazardPanel():
            return hazard_block(desk, block) + GAP
        case Steps():
            return steps_table(desk, block) + GAP
        case ReviewSteps():
            return review_table(desk, block) + GAP
        case AcceptanceTable():
            return acceptance_table(desk, block) + GAP
        case TorqueRecord():
            widths = grid(desk)
            return table(widths, torque_rows(desk, block, widths, block.joint[:30]), title=block.joint, side=True) + GAP
        case Figure():
            return figure(desk, block, desk.width)
        case WhereWeAre():
            widths = grid(desk)
            return table(widths, where_rows(desk, block, widths), title=desk.labels.where, side=True) + GAP
        case CloseOut():
            return close_out(desk, block)
        case ChartPages():
            return chart_pages(desk, block)
        case PageBreak():
            raise AssertionError("page breaks are placed by the caller")


def _pictures(document: Document) -> Callable[[bytes], tuple[str, int, int]]:
    """A function that puts a PNG into the package once and gives its relation and size in px."""
    from docx.image.exceptions import InvalidImageStreamError, UnexpectedEndOfFileError, UnrecognizedImageError

    known: dict[bytes, tuple[str, int, int]] = {}

    def picture(png: bytes) -> tuple[str, int, int]:
        if png not in known:
            try:
                relation, image = document.part.get_or_add_image(BytesIO(png))
            except (InvalidImageStreamError, UnexpectedEndOfFileError, UnrecognizedImageError) as fault:
                raise ValueError("a figure is not a picture that Word can show; give a PNG") from fault
            known[png] = (relation, image.px_width, image.px_height)
        return known[png]

    return picture


def _runners(document: Document, sheet: Sheet, lying: Page, desk: Desk) -> tuple[str, str]:
    """Relations of a head and a foot of this page's width, added to the package; the mark, if any, is the head's own."""
    from docx.opc.constants import CONTENT_TYPE, RELATIONSHIP_TYPE
    from docx.opc.packuri import PackURI
    from docx.opc.part import Part

    made = []
    for kind, blob, content, relation in (
        (
            "head",
            head_part(sheet.control, sheet.labels, lying.width, ("rId1", desk.marks.drawing())),
            CONTENT_TYPE.WML_HEADER,
            RELATIONSHIP_TYPE.HEADER,
        ),
        (
            "foot",
            foot_part(sheet.control, sheet.labels, lying.width),
            CONTENT_TYPE.WML_FOOTER,
            RELATIONSHIP_TYPE.FOOTER,
        ),
    ):
        name = PackURI(f"/word/{kind}-{lying.turn.value}.xml")
        part = Part(name, content, blob, document.part.package)
        if kind == "head" and sheet.control.logo:
            part.rels.get_or_add(
                RELATIONSHIP_TYPE.IMAGE, document.part.package.get_or_add_image_part(BytesIO(sheet.control.logo))
            )
        made.append(document.part.relate_to(part, relation))
    return made[0], made[1]


def _properties(document: Document, data: Control, kind: str) -> None:
    """Core properties from the control data alone; python-docx would put the clock in."""
    try:
        day = date.fromisoformat(data.date)
    except ValueError:
        day = date(1980, 1, 1)
    core = document.core_properties
    core.title = _short(data.title)
    core.subject = _short(f"{kind} {data.number} {data.revision}")
    core.author = core.last_modified_by = _short(data.organisation or "procforge")
    core.created = core.modified = datetime(day.year, day.month, day.day, tzinfo=UTC).replace(tzinfo=None)
    core.identifier = _short(data.source_hash)
    core.language, core.revision = "en-GB", 1
    core.category = core.comments = core.content_status = core.keywords = core.version = ""


def _short(text: str) -> str:
    """A property: at most 255 characters, all of them allowed in XML."""
    return "".join(letter if letter.isprintable() else " " for letter in text)[:255]
