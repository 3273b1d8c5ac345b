"""A customer's template: its letters are taken and nothing else; a file that is none, or means harm, is refused."""

from __future__ import annotations

import os
from dataclasses import replace
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from lxml import etree
from site_mark import mark
from template_samples import changed, hostile, house_template
from word_samples import rich_sheet

from procforge.render.word import TemplateError, docx_bytes
from procforge.render.word.styles import CONTRAST_LARGE, MEASURED, _contrast

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"


def part(data: bytes, name: str) -> etree._Element:
    with ZipFile(BytesIO(data)) as packed:
        return etree.fromstring(packed.read(name))


def style(data: bytes, name: str) -> etree._Element:
    return next(s for s in part(data, "word/styles.xml").iter(f"{W}style") if s.get(f"{W}styleId") == name)


def value(element: etree._Element, path: str, name: str = "val") -> str | None:
    found = element.find("/".join(f"{W}{tag}" for tag in path.split("/")))
    return None if found is None else str(found.get(f"{W}{name}"))


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return house_template(tmp_path_factory.mktemp("house") / "house.docx")


@pytest.fixture(scope="module")
def dressed(house: Path) -> bytes:
    return docx_bytes(rich_sheet(), template=house)


def test_letters_are_taken(dressed: bytes) -> None:
    assert value(style(dressed, "Normal"), "rPr/rFonts", "ascii") == "DejaVu Serif"
    assert value(style(dressed, "Normal"), "rPr/color") == "202050"
    for name in ("Heading1", "Heading2", "Heading3"):
        heading = style(dressed, name)
        assert value(heading, "rPr/rFonts", "ascii") == "DejaVu Sans"
        assert value(heading, "rPr/color") == "7A1F5C"
        assert value(heading, "rPr/b") in ("0", "false")


def test_what_would_break_the_sheet_is_not_taken(dressed: bytes) -> None:
    plain = docx_bytes(rich_sheet())
    normal = style(dressed, "Normal")
    assert normal.find(f"{W}pPr") is None, "wide lines would push the steps off the page"
    assert {str(p.tag).removeprefix(W) for p in normal.iterfind(f"{W}rPr/*")} == {"rFonts", "color"}, (
        "no italics, no size"
    )
    for name in ("Title", "Heading1", "Heading2", "Heading3"):
        ours, theirs = (style(data, name).find(f"{W}pPr") for data in (plain, dressed))
        assert ours is not None and theirs is not None
        assert etree.tostring(ours) == etree.tostring(theirs), "place, numbering and keeping stay ours"
    assert [value(style(dressed, f"Heading{level}"), "rPr/sz") for level in (1, 2, 3)] == ["36", "32", "20"]
    title = value(style(dressed, "Title"), "rPr/color")
    assert title and _contrast(title) >= CONTRAST_LARGE, "white on white would not be read"
    assert _contrast("FFFFF0") < CONTRAST_LARGE


def test_nothing_else_of_it_is_in_the_sheet(dressed: bytes) -> None:
    plain = docx_bytes(rich_sheet())
    with ZipFile(BytesIO(plain)) as ours, ZipFile(BytesIO(dressed)) as theirs:
        assert ours.namelist() == theirs.namelist()
        for name in ours.namelist():
            if name not in ("word/styles.xml", "word/theme.xml", "word/fontTable.xml"):
                assert ours.read(name) == theirs.read(name), name
            assert b"must not show" not in theirs.read(name)
            assert b"External" not in theirs.read(name)


def test_narrow_room_keeps_the_letters_that_were_measured(dressed: bytes) -> None:
    for name in MEASURED - {"ProcRole", "ProcWhyNot"}:
        assert value(style(dressed, name), "rPr/rFonts", "ascii") == "Arial", name
    assert value(style(dressed, "ProcInstruction"), "rPr/rFonts", "ascii") is None


def test_an_own_style_of_the_sheet_in_a_template_counts(house: Path, tmp_path: Path) -> None:
    with ZipFile(house) as packed:
        text = packed.read("word/styles.xml")
    own = (
        b'<w:style w:type="paragraph" w:customStyle="1" w:styleId="ProcSignal"><w:name w:val="Proc Signal"/><w:rPr>'
        b'<w:rFonts w:ascii="DejaVu Sans"/><w:vanish/></w:rPr></w:style></w:styles>'
    )
    path = changed(house, tmp_path / "own.docx", {"word/styles.xml": text.replace(b"</w:styles>", own)})
    made = style(docx_bytes(rich_sheet(), template=path), "ProcSignal")
    assert value(made, "rPr/rFonts", "ascii") == "DejaVu Sans"
    assert made.find(f"{W}rPr/{W}vanish") is None, "hidden warnings"


def test_names_of_another_language_are_known(house: Path, tmp_path: Path) -> None:
    with ZipFile(house) as packed:
        text = packed.read("word/styles.xml")
    text = text.replace(b'w:styleId="Heading1"', b'w:styleId="berschrift1"').replace(
        b'w:styleId="Normal"', b'w:styleId="Standard"'
    )
    path = changed(house, tmp_path / "german.docx", {"word/styles.xml": text})
    made = docx_bytes(rich_sheet(), template=path)
    assert value(style(made, "Heading1"), "rPr/color") == "7A1F5C"
    assert value(style(made, "Normal"), "rPr/rFonts", "ascii") == "DejaVu Serif"


def test_a_circle_of_styles_ends(house: Path, tmp_path: Path) -> None:
    with ZipFile(house) as packed:
        text = packed.read("word/styles.xml").decode()
    root = etree.fromstring(text.encode())
    for one in root.iter(f"{W}style"):
        if one.get(f"{W}styleId") in ("HouseHeading", "Heading1"):
            base = one.find(f"{W}basedOn")
            if base is None:
                base = etree.SubElement(one, f"{W}basedOn")
            base.set(f"{W}val", "Heading1" if one.get(f"{W}styleId") == "HouseHeading" else "HouseHeading")
    path = changed(house, tmp_path / "circle.docx", {"word/styles.xml": etree.tostring(root)})
    assert value(style(docx_bytes(rich_sheet(), template=path), "Heading1"), "rPr/color") == "7A1F5C"


def test_twice_the_same_bytes(house: Path, dressed: bytes) -> None:
    assert docx_bytes(rich_sheet(), template=house) == dressed


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_schema_checker_finds_nothing(house: Path, tmp_path: Path, paper: str) -> None:
    """openxml-audit, which shares no code with ours; with a mark in the head."""
    if not (os.environ.get("CI") or find_spec("openxml_audit")):
        pytest.skip("openxml-audit is not installed")
    from openxml_audit import OpenXmlValidator

    made = rich_sheet()
    made = replace(made, control=replace(made.control, organisation="Plant", logo=mark()))
    path = tmp_path / "x.docx"
    path.write_bytes(docx_bytes(made, paper=paper, template=house))
    assert [str(error) for error in OpenXmlValidator().validate(str(path)).errors] == []


REASONS = {
    "text": "no .docx",
    "empty": "no .docx",
    "half": "no .docx",
    "password": "password",
    "macros": "macro",
    "docm": "macros",
    "outside": "outside",
    "entities": "entities",
    "no styles": "no styles",
    "styles broken": "no XML",
    "styles of another kind": "no styles",
    "theme broken": "no XML",
    "bomb": "larger inside",
    "folder": "folder",
    "missing": "no such file",
}


def test_each_file_that_is_no_template_is_refused_with_its_reason(tmp_path: Path) -> None:
    files = hostile(tmp_path)
    assert set(files) == set(REASONS)
    for name, path in files.items():
        with pytest.raises(TemplateError, match=REASONS[name]) as caught:
            docx_bytes(rich_sheet(), template=path)
        assert str(path) in str(caught.value), name
