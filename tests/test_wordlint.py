"""The lint of our own: silent on our sheets, and each check is shown a file with the fault it is for."""

from __future__ import annotations

import re
from collections.abc import Callable
from io import BytesIO
from zipfile import ZipFile

import pytest
from word_samples import hostile_sheet, rich_sheet
from wordlint import CHECKS, lint

from procforge.render.word import docx_bytes
from procforge.sheet.outline import Heading, Sheet

GOOD = docx_bytes(rich_sheet())
NO_BODY = re.compile("<w:body>")


def spoilt(change: Callable[[str], str], part: str = "word/document.xml") -> bytes:
    """The rich sheet with one part changed; a change that changes nothing is a mistake of the test."""
    out = BytesIO()
    with ZipFile(BytesIO(GOOD)) as old, ZipFile(out, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name == part:
                made = change(text.decode()).encode()
                assert made != text
                text = made
            new.writestr(name, text)
    return out.getvalue()


def swap(pattern: str, by: str, count: int = 1) -> Callable[[str], str]:
    """A change of the first places that match."""
    return lambda text: re.sub(pattern, by, text, count=count, flags=re.DOTALL)


def both_alike(pattern: str) -> Callable[[str], str]:
    """A change that gives the second place the words of the first."""

    def change(text: str) -> str:
        first, second = list(re.finditer(pattern, text))[:2]
        return text[: second.start(1)] + first[1] + text[second.end(1) :]

    return change


def added(xml: str) -> Callable[[str], str]:
    """A change that puts something first into the body."""
    return lambda text: NO_BODY.sub("<w:body>" + xml, text, count=1)


LATER_ROW = r"(<w:tblHeader/></w:trPr>(?:.*?<w:tr>){3}<w:trPr><w:cantSplit/>(?:<w:trHeight [^>]*/>)?)"
FIELD = '<w:p><w:r><w:fldChar w:fldCharType="{}"/></w:r></w:p>'
BROKEN: list[tuple[str, Callable[[str], str], str]] = [
    ("ids", both_alike(r'<w:id w:val="(\d+)"/>'), "control id"),
    ("ids", both_alike(r'<w:tag w:val="([^"]*)"/>'), "control tag"),
    ("ids", both_alike(r'<w:alias w:val="([^"]*)"/>'), "control title"),
    ("ids", both_alike(r'<w:bookmarkStart w:id="\d+" w:name="([^"]*)"'), "bookmark name"),
    ("ids", both_alike(r'<wp:docPr id="(\d+)"'), "picture id"),
    ("bookmarks", swap(r"<w:bookmarkEnd [^>]*/>", ""), "never closed"),
    ("bookmarks", swap(r"<w:bookmarkStart [^>]*/>", ""), "without its start"),
    ("anchors", swap(r'w:anchor="[^"]*"', 'w:anchor="_nowhere"'), "_nowhere"),
    ("anchors", added('<w:p><w:fldSimple w:instr=" PAGEREF _lost "/></w:p>'), "PAGEREF to _lost"),
    ("spans", swap(r'<w:gridSpan w:val="3"/>', '<w:gridSpan w:val="2"/>'), "columns"),
    ("widths", swap(r'<w:tcW w:w="(\d+)"', r'<w:tcW w:w="1\1"'), "a cell"),
    ("widths", swap(r'<w:tblW w:w="(\d+)"', r'<w:tblW w:w="1\1"'), "a table"),
    ("fields", added(FIELD.format("begin")), "not ended"),
    ("fields", added(FIELD.format("end")), "not begun"),
    ("fields", added(FIELD.format("separate")), "not begun"),
    ("lengths", swap(r'<w:tag w:val="', f'<w:tag w:val="{"x" * 64}'), "tag of"),
    ("lengths", swap(r'<w:alias w:val="[^"]*"', '<w:alias w:val=""'), "alias of 0"),
    ("lengths", swap(r'w:name="_', f'w:name="_{"x" * 40}'), "bookmark of"),
    ("alt", swap(r' descr="[^"]*"', ' descr=" "'), "picture"),
    ("header rows", swap(r"<w:tblHeader/>", "", count=10_000), "no head"),
    ("header rows", swap(LATER_ROW, r"\1<w:tblHeader/>"), "after others"),
    ("headings", added('<w:p><w:pPr><w:pStyle w:val="Heading2"/></w:pPr><w:r><w:t>Deep</w:t></w:r></w:p>'), "level 2"),
    ("headings", added('<w:p><w:pPr><w:pStyle w:val="Heading1"/></w:pPr></w:p>'), "without words"),
    ("relations", swap(r'r:embed="[^"]*"', 'r:embed="rId999"'), "rId999"),
]


@pytest.mark.parametrize("sheet", [rich_sheet(), hostile_sheet()], ids=["rich", "hostile"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_is_found_in_our_sheets(sheet: Sheet, paper: str) -> None:
    found = lint(docx_bytes(sheet, paper=paper))
    if sheet == hostile_sheet():  # its outline begins with a heading of level 9, which is what it is for
        assert found.pop().startswith("headings: level 3 after 0")
    assert found == []


@pytest.mark.parametrize(("name", "change", "says"), BROKEN, ids=[f"{n}-{at}" for at, (n, _, _) in enumerate(BROKEN)])
def test_each_check_finds_its_fault(name: str, change: Callable[[str], str], says: str) -> None:
    found = lint(spoilt(change))
    assert any(line.startswith(f"{name}: ") and says in line for line in found), found


def test_a_missing_language_and_a_heading_that_jumps_are_found() -> None:
    assert any(line.startswith("language: ") for line in lint(spoilt(swap(r"<w:lang [^>]*/>", ""), "word/styles.xml")))
    jumps = Sheet(rich_sheet().control, (Heading("One"), Heading("Three", 3)))
    assert [line for line in lint(docx_bytes(jumps)) if line.startswith("headings: level 3 after 1")]


def test_no_check_is_without_a_broken_sample() -> None:
    assert {name for name, _, _ in BROKEN} | {"language"} == set(CHECKS)
