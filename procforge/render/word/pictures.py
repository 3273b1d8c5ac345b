"""Pictures in line with the text, each with alternative text and a number of its own."""

from __future__ import annotations

from procforge.render.word.desk import Desk
from procforge.render.word.markup import esc, para, run
from procforge.sheet.rows import Figure

_EMU_MM = 36_000
_EMU_TWIP = 635
_EMU_PX = 9_525  # at 96 dpi
_SPACES = (
    'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" '
    'xmlns:pic="http://schemas.openxmlformats.org/drawingml/2006/picture"'
)


def drawing(desk: Desk, png: bytes, alt: str, *, width: int, height: int) -> str:
    """A run holding the picture, `width` x `height` in EMU (1/914400 in)."""
    relation, _, _ = desk.picture(png)
    return inline_picture(relation, desk.marks.drawing(), alt, width=width, height=height)


def inline_picture(relation: str, number: int, alt: str, *, width: int, height: int) -> str:
    """A run holding the picture that `relation` leads to; `number` is its own in the document."""
    size = f'cx="{width}" cy="{height}"'
    named = f'id="{number}" name="Picture {number}" descr="{esc(alt)}"'
    return (
        f'<w:r><w:drawing><wp:inline distT="0" distB="0" distL="0" distR="0"><wp:extent {size}/>'
        f"<wp:docPr {named}/>"
        f'<a:graphic {_SPACES}><a:graphicData uri="http://schemas.openxmlformats.org/drawingml/2006/picture"><pic:pic>'
        f"<pic:nvPicPr><pic:cNvPr {named}/><pic:cNvPicPr/></pic:nvPicPr>"
        f'<pic:blipFill><a:blip r:embed="{relation}"/><a:stretch><a:fillRect/></a:stretch></pic:blipFill>'
        f'<pic:spPr><a:xfrm><a:off x="0" y="0"/><a:ext {size}/></a:xfrm><a:prstGeom prst="rect"><a:avLst/></a:prstGeom>'
        "</pic:spPr></pic:pic></a:graphicData></a:graphic></wp:inline></w:drawing></w:r>"
    )


def figure(desk: Desk, shown: Figure, room: int, *, keep: bool = False) -> str:
    """A figure's paragraphs, no wider than `room` twips and no higher than the page lets stand with its caption."""
    title = f"{desk.labels.figure}\u00a0{shown.number}. " if shown.number else ""
    caption = run(title, bold=True) * bool(title) + (run(shown.caption) if shown.caption else "")
    png = _bytes(shown)
    if not png:  # letters that no font of ours has: the picture in words
        return para(desk.marks.anchor(shown.anchor, caption), "ProcInstruction", keep=True) + para(
            run(shown.alt), "ProcInstruction", keep=keep
        )
    _, across, down = desk.picture(png)
    natural = shown.width or (shown.drawing.width if shown.drawing else 0.0)
    width = int(natural * _EMU_MM) if natural else across * _EMU_PX
    height = width * down // across
    scale = min(1.0, room * _EMU_TWIP / width, (desk.height - 900) * _EMU_TWIP / height)
    art = drawing(desk, png, shown.alt, width=int(width * scale), height=int(height * scale))
    body = para(desk.marks.anchor(shown.anchor, art), "ProcFigure", keep=keep or bool(caption), align="center")
    return body + (para(caption, "ProcCaption", keep=keep, align="center") if caption else "")


def _bytes(shown: Figure) -> bytes:
    """The picture's file content; nothing for a drawing with letters that the fonts lack. Raises ValueError."""
    if shown.drawing is not None:
        from procforge.render.picture import Unlettered, png

        try:
            return png(shown.drawing)
        except Unlettered:
            return b""
    found = shown.png or (shown.path.read_bytes() if shown.path else b"")
    if not found:
        raise ValueError(f"figure {shown.alt!r} has no picture")
    return found
