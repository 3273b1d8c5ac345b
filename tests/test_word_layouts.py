"""What belongs together stays on one page, over shifted layouts as LibreOffice sets them."""

from __future__ import annotations

import re
from io import BytesIO
from zipfile import ZipFile

import pytest
from layout_samples import LAYOUTS, Layout, layout
from printing import pages_of

from procforge.render.word import docx_bytes


def loosened(data: bytes) -> bytes:
    """The same file with nothing kept together."""
    out = BytesIO()
    with ZipFile(BytesIO(data)) as old, ZipFile(out, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if name in ("word/document.xml", "word/styles.xml"):
                part = re.sub(rb"<w:(keepNext|keepLines|cantSplit)/>", b"", part)
            new.writestr(name, part)
    return out.getvalue()


def split(made: Layout, pages: list[str]) -> list[str]:
    """The groups whose marks are not all on one page; each mark is printed on exactly one."""
    out = []
    for group in made.together:
        where = {}
        for mark in group:
            found = [number for number, text in enumerate(pages, 1) if mark in text]
            assert len(found) == 1, f"{mark} is on pages {found}"
            where[mark] = found[0]
        if len(set(where.values())) > 1:
            out.append(str(where))
    return out


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Layout], list[list[str]]]:
    """All layouts, then a third of them again with nothing kept together, in one run."""
    folder = tmp_path_factory.mktemp("layouts")
    layouts = [layout(at) for at in range(LAYOUTS)]
    files = []
    for at, made in enumerate(layouts):
        data = docx_bytes(made.sheet, paper=made.paper)
        files.append(folder / f"kept-{at:02d}.docx")
        files[-1].write_bytes(data)
    for at in range(0, LAYOUTS, 3):
        files.append(folder / f"loose-{at:02d}.docx")
        files[-1].write_bytes(loosened(docx_bytes(layouts[at].sheet, paper=layouts[at].paper)))
    return layouts, pages_of(files, folder)


def test_nothing_that_belongs_together_is_parted(printed: tuple[list[Layout], list[list[str]]]) -> None:
    layouts, pages = printed
    faults = {at: split(made, pages[at]) for at, made in enumerate(layouts)}
    assert not {at: found for at, found in faults.items() if found}
    assert sum(len(pages[at]) - 1 for at in range(LAYOUTS)) > 60  # page ends that could have parted something
    assert {made.paper for made in layouts} == {"A4", "Letter"}


def test_without_the_keeping_things_are_parted(printed: tuple[list[Layout], list[list[str]]]) -> None:
    """The check above can fail."""
    layouts, pages = printed
    parted = sum(len(split(layouts[at], pages[LAYOUTS + n])) for n, at in enumerate(range(0, LAYOUTS, 3)))
    assert parted >= 8


def test_the_head_of_the_step_table_stands_on_every_page(printed: tuple[list[Layout], list[list[str]]]) -> None:
    layouts, pages = printed
    for at in range(LAYOUTS):
        for number, text in enumerate(pages[at], 1):
            if re.search(r"Q\d\dM\d\d\dZ", text):
                assert "Step Instruction Done" in text, (layouts[at].paper, number)


def test_pages_are_filled(printed: tuple[list[Layout], list[list[str]]]) -> None:
    """Keeping together must not cost a page in four."""
    _, pages = printed
    kept = sum(len(pages[at]) for at in range(0, LAYOUTS, 3))
    loose = sum(len(found) for found in pages[LAYOUTS:])
    assert kept <= 1.25 * loose
