"""Templates made by code: a house style that differs from ours in every way it can, and files that mean harm."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import docx
from docx.enum.section import WD_ORIENT
from docx.enum.style import WD_STYLE_TYPE
from docx.oxml import parse_xml
from docx.oxml.ns import nsdecls
from docx.shared import Cm, Pt, RGBColor


def house_template(path: Path) -> Path:
    """Other fonts and colours, landscape, odd margins, wide spacing, numbered headings, a head and text of its own."""
    made = docx.Document()
    section = made.sections[0]
    section.orientation = WD_ORIENT.LANDSCAPE
    section.page_width, section.page_height = Cm(33), Cm(19)
    section.left_margin, section.right_margin, section.top_margin = Cm(6.1), Cm(0.4), Cm(5)
    section.header.paragraphs[0].text = "Head of the house that must not show"
    section.footer.paragraphs[0].text = "Foot of the house that must not show"
    made.add_paragraph("Text of the house that must not show")
    normal = made.styles["Normal"]
    normal.font.name, normal.font.size = "DejaVu Serif", Pt(15)
    normal.font.italic, normal.font.color.rgb = True, RGBColor(0x20, 0x20, 0x50)
    normal.paragraph_format.space_after, normal.paragraph_format.line_spacing = Pt(18), 2.0
    normal.paragraph_format.first_line_indent = Cm(1)
    base = made.styles.add_style("House Heading", WD_STYLE_TYPE.PARAGRAPH)
    base.font.name, base.font.color.rgb = "DejaVu Sans", RGBColor(0x7A, 0x1F, 0x5C)
    for level, size in ((1, 40), (2, 16), (3, 5)):
        heading = made.styles[f"Heading {level}"]
        heading.base_style = base
        heading.font.size, heading.font.bold = Pt(size), False
        heading.font.name = "DejaVu Sans"
        heading.font.color.rgb = RGBColor(0x7A, 0x1F, 0x5C)
        heading.paragraph_format.left_indent, heading.paragraph_format.space_before = Cm(4), Pt(60)
        heading.paragraph_format.page_break_before = True
        heading.element.get_or_add_pPr().append(parse_xml(f'<w:numPr {nsdecls("w")}><w:numId w:val="1"/></w:numPr>'))
    title = made.styles["Title"]
    title.font.size, title.font.color.rgb = Pt(60), RGBColor(0xFF, 0xFF, 0xF0)  # white paper would swallow it
    made.save(str(path))
    return path


def changed(path: Path, out: Path, parts: dict[str, bytes | None]) -> Path:
    """A copy of a package with some parts put in, or taken out (None)."""
    with ZipFile(path) as given, ZipFile(out, "w", ZIP_DEFLATED) as made:
        for name in given.namelist():
            if name not in parts:
                made.writestr(name, given.read(name))
        for name, data in parts.items():
            if data is not None:
                made.writestr(name, data)
    return out


def hostile(folder: Path) -> dict[str, Path]:
    """Files that are no template, by what is wrong with them."""
    good = house_template(folder / "good.docx")
    with ZipFile(good) as packed:
        styles, settings = packed.read("word/styles.xml"), packed.read("word/_rels/document.xml.rels")
    relation = (
        b'<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/attachedTemplate"'
        b' Target="http://192.0.2.1/house.dotm" TargetMode="External"/></Relationships>'
    )
    found = {
        "text": b"this is no package",
        "empty": b"",
        "half": good.read_bytes()[:3000],
        "password": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 4096,
    }
    for name, content in found.items():
        (folder / f"{name}.docx").write_bytes(content)
    out = {name: folder / f"{name}.docx" for name in found}
    out["macros"] = changed(good, folder / "macros.docx", {"word/vbaProject.bin": b"\xd0\xcf\x11\xe0 code"})
    out["docm"] = folder / "house.docm"
    out["docm"].write_bytes(good.read_bytes())
    outside = settings.replace(b"</Relationships>", relation)
    out["outside"] = changed(good, folder / "outside.docx", {"word/_rels/document.xml.rels": outside})
    entity = b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY a "aaaaaaaaaa">]>' + styles.partition(b"?>")[2]
    out["entities"] = changed(good, folder / "entities.docx", {"word/styles.xml": entity})
    out["no styles"] = changed(good, folder / "nostyles.docx", {"word/styles.xml": None})
    out["styles broken"] = changed(good, folder / "broken.docx", {"word/styles.xml": styles[:-40]})
    out["styles of another kind"] = changed(good, folder / "other.docx", {"word/styles.xml": b"<a/>"})
    out["theme broken"] = changed(good, folder / "theme.docx", {"word/theme/theme1.xml": b"<a:theme"})
    bomb = BytesIO()
    with ZipFile(bomb, "w", ZIP_DEFLATED) as packed:
        packed.writestr("word/document.xml", b"<w:p/>" * 5_000_000)
    out["bomb"] = folder / "bomb.docx"
    out["bomb"].write_bytes(bomb.getvalue())
    out["folder"] = folder
    out["missing"] = folder / "not-there.docx"
    return out
