"""WordprocessingML as strings: text made safe, runs, paragraphs, cells, rows and fixed tables.

Element order inside each property group follows ECMA-376 part 1 (wml.xsd); a checker refuses another order.
Widths are twips (1/1440 in), font sizes half points, borders eighths of a point.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

# Not allowed in XML 1.0, or able to turn the reading direction of what follows: shown as a replacement mark, so that
# the loss is seen. Tab and line ends become a space: a sheet's words have no lines of their own.
_BARRED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
# Any of these, or of what a tag would be made of: most text has none and is taken as it is.
_ODD = re.compile('[\x00-\x1f"&<>\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]')
_SPACES = re.compile("[\t\r\n\u2028\u2029]+")
_MARKS = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})

_START = re.compile("<w:p>(<w:pPr>(?:<w:pStyle [^>]*/>)?)?(?:<w:keepNext/>)?")  # of a paragraph, up to keepNext

INK = "1F2A33"
HEAD = "2A3B47"
RULE = "B4BCC4"
ENTRY = "FFF8DC"
PALE = "EEF2F5"
IDLE = "F3F4F5"


def esc(text: str) -> str:
    """Text for element content or a quoted attribute."""
    if not _ODD.search(text):
        return text
    return _BARRED.sub("\ufffd", _SPACES.sub(" ", text)).translate(_MARKS)


def run(text: str, *, size: int = 0, bold: bool = False, italic: bool = False, colour: str = "", font: str = "") -> str:
    """One run of text; what is not given comes from the paragraph's style."""
    if not (size or bold or italic or colour or font):
        return f'<w:r><w:t xml:space="preserve">{esc(text)}</w:t></w:r>'
    face = f'<w:rFonts w:ascii="{font}" w:hAnsi="{font}" w:eastAsia="{font}" w:cs="{font}"/>' if font else ""
    props = (
        face
        + ("<w:b/>" if bold else "")
        + ("<w:i/>" if italic else "")
        + (f'<w:color w:val="{colour}"/>' if colour else "")
        + (f'<w:sz w:val="{size}"/><w:szCs w:val="{size}"/>' if size else "")
    )
    return f'<w:r>{f"<w:rPr>{props}</w:rPr>" if props else ""}<w:t xml:space="preserve">{esc(text)}</w:t></w:r>'


def para(
    content: str, style: str = "", *, keep: bool = False, align: str = "", indent: int = 0, hanging: int = 0
) -> str:
    """A paragraph of ready runs; `keep` holds it on the page of the next paragraph."""
    props = (
        (f'<w:pStyle w:val="{style}"/>' if style else "")
        + ("<w:keepNext/>" if keep else "")
        + (
            f'<w:ind w:left="{indent}"{f" w:hanging={chr(34)}{hanging}{chr(34)}" if hanging else ""}/>'
            if indent
            else ""
        )
        + (f'<w:jc w:val="{align}"/>' if align else "")
    )
    return f"<w:p>{f'<w:pPr>{props}</w:pPr>' if props else ''}{content}</w:p>"


def border(side: str, size: int = 0, colour: str = "") -> str:
    """One side of a cell: a line of `size` eighths of a point, or none."""
    if not size:
        return f'<w:{side} w:val="nil"/>'
    return f'<w:{side} w:val="single" w:sz="{size}" w:space="0" w:color="{colour}"/>'


def box(size: int, colour: str, sides: str = "top left bottom right") -> str:
    """The named sides of a cell, in schema order."""
    return "".join(border(side, size, colour) for side in sides.split())


def cell(width: int, content: str, *, span: int = 1, fill: str = "", borders: str = "", middle: bool = False) -> str:
    """A table cell of ready paragraphs, `width` twips wide over `span` grid columns."""
    return (
        f'<w:tc><w:tcPr><w:tcW w:w="{width}" w:type="dxa"/>'
        + (f'<w:gridSpan w:val="{span}"/>' if span > 1 else "")
        + (f"<w:tcBorders>{borders}</w:tcBorders>" if borders else "")
        + (f'<w:shd w:val="clear" w:color="auto" w:fill="{fill}"/>' if fill else "")
        + ('<w:vAlign w:val="center"/>' if middle else "")
        + f"</w:tcPr>{content}</w:tc>"
    )


def row(cells: str, *, height: int = 0, header: bool = False) -> str:
    """A row that no page break cuts; `height` is the least height, a header row is repeated on each page."""
    return (
        "<w:tr><w:trPr><w:cantSplit/>"
        + (f'<w:trHeight w:val="{height}" w:hRule="atLeast"/>' if height else "")
        + ("<w:tblHeader/>" if header else "")
        + f"</w:trPr>{cells}</w:tr>"
    )


def kept(rows: str) -> str:
    """Ready rows whose last one is held on the page of the row after it."""
    start = rows.rfind("<w:tr>")
    return rows[:start] + _START.sub(_with_keep, rows[start:])


def _with_keep(found: re.Match[str]) -> str:
    return f"<w:p>{found[1]}<w:keepNext/>" if found[1] else "<w:p><w:pPr><w:keepNext/></w:pPr>"


def table(widths: Sequence[int], rows: str, *, title: str = "", ruled: bool = True, side: bool = False) -> str:
    """A fixed table: grid and cell widths agree, thin grey rules (or none), `title` for those who cannot see it.

    `side`: its heads stand in the first column, not in a row.
    """
    rules = "".join(
        f'<w:{edge} w:val="single" w:sz="4" w:space="0" w:color="{RULE}"/>' if ruled else f'<w:{edge} w:val="nil"/>'
        for edge in ("top", "left", "bottom", "right", "insideH", "insideV")
    )
    return (
        f'<w:tbl><w:tblPr><w:tblW w:w="{sum(widths)}" w:type="dxa"/><w:tblBorders>{rules}</w:tblBorders>'
        '<w:tblLayout w:type="fixed"/><w:tblCellMar><w:top w:w="34" w:type="dxa"/><w:left w:w="90" w:type="dxa"/>'
        '<w:bottom w:w="34" w:type="dxa"/><w:right w:w="90" w:type="dxa"/></w:tblCellMar>'
        + f'<w:tblLook w:val="{"0080" if side else "0020"}" w:firstRow="{int(not side)}" w:lastRow="0"'
        + f' w:firstColumn="{int(side)}" w:lastColumn="0" w:noHBand="1" w:noVBand="1"/>'
        + (f'<w:tblCaption w:val="{esc(title)[:250]}"/>' if title else "")
        + "</w:tblPr><w:tblGrid>"
        + "".join(f'<w:gridCol w:w="{width}"/>' for width in widths)
        + f"</w:tblGrid>{rows}</w:tbl>"
    )


def shares(width: int, parts: Sequence[float]) -> tuple[int, ...]:
    """`width` cut into whole twips in the ratio of `parts`; the last takes what rounding leaves."""
    whole = sum(parts)
    cut = [int(width * part / whole) for part in parts]
    cut[-1] += width - sum(cut)
    return tuple(cut)


def clip(text: str, most: int) -> str:
    """Text for a running head: cut with an ellipsis when longer than `most` characters."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "\u2026"


GAP = '<w:p><w:pPr><w:pStyle w:val="ProcGap"/></w:pPr></w:p>'
"""Two tables in a row would run together without a paragraph between them."""
