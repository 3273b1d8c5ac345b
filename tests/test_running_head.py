"""The running head: two lines whatever is in it, as far as words can be measured."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from site_mark import mark, png
from word_samples import rich_sheet

from procforge.render.word import docx_bytes
from procforge.render.word.fitting import fitted
from procforge.render.word.logo import EMU_MM, logo_size
from procforge.render.word.running import page
from procforge.sheet.lettering import width
from procforge.sheet.outline import Turn

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
WORDS = st.text("abcdefghij KMW-.", min_size=1, max_size=120)


@given(st.lists(WORDS, min_size=1, max_size=3), st.floats(40, 600), st.booleans(), st.floats(0, 30))
def test_what_is_given_back_fits(texts: list[str], room: float, bold: bool, fixed: float) -> None:
    text, size = fitted(texts, room, (22, 20, 18), bold=bold, fixed=fixed)
    assert size in (22, 20, 18)
    assert width(text, size / 2, bold=bold) + fixed <= room or text == "\u2026"
    if text not in texts:
        assert text.endswith("\u2026") and texts[-1].startswith(text[:-1].rstrip())
        assert all(width(one, 9, bold=bold) + fixed > room for one in texts), "cut only where none fits at the smallest"


def test_the_fullest_words_come_first_then_the_largest_letters() -> None:
    whole, brief = "Two-stage biogas booster, vertical", "Booster"
    assert fitted((whole, brief), 400, (22, 18)) == (whole, 22)
    at_eleven, at_nine = width(whole, 11), width(whole, 9)
    assert fitted((whole, brief), (at_eleven + at_nine) / 2, (22, 18)) == (whole, 18)
    assert fitted((whole, brief), at_nine - 1, (22, 18)) == (brief, 22)


def lines(title: str, equipment: str, paper: str, logo: bytes) -> tuple[list[float], list[float]]:
    """Width in points of each printed line of the head's cell with the title, and the room it has."""
    sheet = rich_sheet()
    control = replace(sheet.control, title=title, equipment=equipment, logo=logo, organisation="Plant " * 12)
    with ZipFile(BytesIO(docx_bytes(replace(sheet, control=control), paper=paper))) as packed:
        head = etree.fromstring(packed.read("word/head-portrait.xml"))
    cells = head.findall(f".//{W}tc")
    cell = cells[-2]
    room = int(cell.find(f"{W}tcPr/{W}tcW").get(f"{W}w")) / 20 - 9  # type: ignore[union-attr, arg-type]
    found = []
    for para in cell.iterfind(f"{W}p"):
        total = 0.0
        for run in para.iter(f"{W}r"):
            size = run.find(f"{W}rPr/{W}sz")
            points = int(size.get(f"{W}val")) / 2 if size is not None else 8.5  # type: ignore[arg-type]
            total += width("".join(run.itertext()), points, bold=run.find(f"{W}rPr/{W}b") is not None)
        found.append(total)
    grid = [int(c.find(f"{W}tcPr/{W}tcW").get(f"{W}w")) for c in cells]  # type: ignore[union-attr, arg-type]
    assert sum(grid) == page(paper, Turn.PORTRAIT).width
    return found, [room]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(
    "logo", [b"", mark(), png([b"\x20\x50\x90" * 600] * 60, 600, 60)], ids=["bare", "mark", "wide"]
)
@pytest.mark.parametrize("words", [4, 9, 14, 60])
def test_two_lines_and_for_the_longest_titles_three(paper: str, logo: bytes, words: int) -> None:
    (title, machine), (room,) = lines("Service " * words, "Two-stage biogas booster, vertical " * 3, paper, logo)
    assert machine <= room
    assert title <= (room if words <= 4 else 2 * room)


def test_a_mark_keeps_its_shape_and_stays_in_its_room() -> None:
    for across, down in ((240, 200), (600, 60), (60, 150)):
        made = logo_size(png([b"\0\0\0" * across] * down, across, down), 24.0, 9.0)
        assert made[0] <= 24 * EMU_MM and made[1] <= 9 * EMU_MM
        assert made[0] / made[1] == pytest.approx(across / down, rel=1e-3)
        assert made[0] == pytest.approx(24 * EMU_MM, abs=1) or made[1] == pytest.approx(9 * EMU_MM, abs=1)
