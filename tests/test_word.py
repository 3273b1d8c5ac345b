"""What stands in the Word sheet, read part by part with lxml."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from zipfile import ZipFile

import pytest
from lxml import etree
from word_sample_steps import GAS, step
from word_samples import hostile_sheet, long_sheet, rich_sheet

from procforge.render.word import TemplateError, docx_bytes, write_docx
from procforge.render.word.running import PAPERS
from procforge.sheet.outline import (
    Blank,
    BlankKind,
    Figure,
    HazardPanel,
    ListTable,
    Paragraph,
    Prose,
    Run,
    Sheet,
    Signal,
    StepRow,
    Steps,
    plain,
)
from procforge.sheet.walk import entries

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
WP = "{http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing}"
EACH = pytest.mark.parametrize(
    "sheet", [rich_sheet(), hostile_sheet(), long_sheet(120)], ids=["rich", "hostile", "long"]
)


def part(data: bytes, name: str = "word/document.xml") -> etree._Element:
    """A part of the package as a tree."""
    with ZipFile(BytesIO(data)) as packed:
        return etree.fromstring(packed.read(name))


def text_of(node: etree._Element) -> str:
    """The words under a node, controls included, white space folded (no-break spaces too)."""
    return " ".join(" ".join("".join(p.itertext(f"{W}t")) for p in node.iter(f"{W}p")).split())


def folded(text: Prose) -> str:
    """Words as they are compared: spaces folded."""
    return " ".join(plain(text).split())


def values(root: etree._Element, name: str) -> list[str]:
    """The values of every element of that name."""
    return [str(node.get(f"{W}val")) for node in root.iter(f"{W}{name}")]


def step_rows(sheet: Sheet) -> list[StepRow]:
    """All steps in printed order."""
    return [row for block in sheet.blocks if isinstance(block, Steps) for row in block.rows if isinstance(row, StepRow)]


@EACH
def test_every_blank_is_a_control_once(sheet: Sheet) -> None:
    root = part(docx_bytes(sheet))
    tags = values(root, "tag")
    assert Counter(tags) == Counter(entry.blank.id for entry in entries(sheet))
    assert len(set(tags)) == len(tags)
    titles = values(root, "alias")
    assert len(set(titles)) == len(tags)
    assert max(map(len, titles)) <= 64
    ids = [node.find(f"{W}id").get(f"{W}val") for node in root.iter(f"{W}sdtPr")]  # type: ignore[union-attr]
    assert len(set(ids)) == len(tags)
    assert all(0 < int(number) < 2**31 for number in ids)
    # run level only: other levels are lost by some programs
    assert {node.getparent().tag for node in root.iter(f"{W}sdt")} == {f"{W}p"}  # type: ignore[union-attr]


@EACH
def test_each_control_stands_in_a_hidden_bookmark_of_its_own(sheet: Sheet) -> None:
    root = part(docx_bytes(sheet))
    names = [str(node.get(f"{W}name")) for node in root.iter(f"{W}bookmarkStart")]
    assert len(set(names)) == len(names)
    assert all(name.startswith("_") and len(name) <= 40 for name in names)
    starts = [node.get(f"{W}id") for node in root.iter(f"{W}bookmarkStart")]
    assert starts == sorted(set(starts), key=int)
    assert sorted(starts) == sorted(node.get(f"{W}id") for node in root.iter(f"{W}bookmarkEnd"))
    for control in root.iter(f"{W}sdt"):
        before, after = control.getprevious(), control.getnext()
        assert before is not None
        assert after is not None
        assert (before.tag, after.tag) == (f"{W}bookmarkStart", f"{W}bookmarkEnd")
        assert before.get(f"{W}id") == after.get(f"{W}id")


@EACH
@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_tables_are_fixed_and_their_widths_agree(sheet: Sheet, paper: str) -> None:
    root = part(docx_bytes(sheet, paper=paper))
    tables = list(root.iter(f"{W}tbl"))
    assert tables
    for table in tables:
        assert table.find(f"{W}tblPr/{W}tblLayout").get(f"{W}type") == "fixed"  # type: ignore[union-attr]
        grid = [int(str(column.get(f"{W}w"))) for column in table.iterfind(f"{W}tblGrid/{W}gridCol")]
        assert int(table.find(f"{W}tblPr/{W}tblW").get(f"{W}w")) == sum(grid)  # type: ignore[arg-type, union-attr]
        for row in table.iterfind(f"{W}tr"):
            assert row.find(f"{W}trPr/{W}cantSplit") is not None
            at = 0
            for cell in row.iterfind(f"{W}tc"):
                span = cell.find(f"{W}tcPr/{W}gridSpan")
                wide = int(span.get(f"{W}val")) if span is not None else 1  # type: ignore[arg-type]
                assert int(cell.find(f"{W}tcPr/{W}tcW").get(f"{W}w")) == sum(grid[at : at + wide])  # type: ignore[arg-type, union-attr]
                at += wide
            assert at == len(grid)
    sections = list(root.iter(f"{W}sectPr"))
    size = sections[-1].find(f"{W}pgSz")
    assert size is not None
    assert (int(str(size.get(f"{W}w"))), int(str(size.get(f"{W}h")))) == PAPERS[paper]


def test_step_tables_share_one_grid_of_seven_and_repeat_their_head() -> None:
    root = part(docx_bytes(rich_sheet()))
    tables = [t for t in root.iter(f"{W}tbl") if text_of(t).startswith("Step Instruction")]
    assert len(tables) == 4
    grids = {tuple(c.get(f"{W}w") for c in t.iterfind(f"{W}tblGrid/{W}gridCol")) for t in tables}
    assert len(grids) == 1
    assert len(grids.pop()) == 7
    for table in tables:
        heads = [row.find(f"{W}trPr/{W}tblHeader") is not None for row in table.iterfind(f"{W}tr")]
        assert heads == [True] + [False] * (len(heads) - 1)


def test_each_step_is_said_once_and_its_hazards_stand_just_before_it() -> None:
    sheet = rich_sheet()
    rows = [row for table in part(docx_bytes(sheet)).iter(f"{W}tbl") for row in table.iterfind(f"{W}tr")]
    words = [text_of(row) for row in rows]
    used: set[int] = set()
    for one in step_rows(sheet):
        told = " ".join(folded(line) for line in one.instruction)
        head = " ".join(filter(None, (one.number, one.by, folded(one.takes), told)))
        found = [n for n, text in enumerate(words) if text.startswith(head) and n not in used]
        assert found, told
        at = found[0]
        used.add(at)
        if one.number not in ("3.2", "3.3"):  # told once in each of the two rounds
            assert sum(told in text for text in words) == 1
        for back, hazard in enumerate(reversed(one.hazards), 1):
            assert words[at - back].startswith(hazard.signal.value.upper())
            assert hazard.hazard in words[at - back]
            assert all(folded(line) in words[at - back] for line in hazard.avoid)


def test_what_must_not_be_parted_is_kept_with_the_next() -> None:
    """Hazard before its step, question before its answers, every row of a hold before its signatures."""
    rows = list(part(docx_bytes(rich_sheet())).iter(f"{W}tr"))
    kept = [
        "DANGER",
        "WARNING",
        "CAUTION",
        "NOTICE",
        "HOLD POINT",
        "WITNESS POINT",
        "REVIEW POINT",
        "ROUND",
        "D1",
        "D2",
    ]
    seen = Counter[str]()
    for row in rows:
        text = text_of(row)
        name = next((name for name in kept if text.startswith(name)), "")
        seen[name] += 1
        if name or text.startswith(("Zero pressure witnessed", "Pocket clean")):
            assert _kept(row), text
    assert all(seen[name] for name in kept)


def _kept(row: etree._Element) -> bool:
    """Every paragraph of the row says keep with next, itself or by its style."""
    bare = [p for p in row.iter(f"{W}p") if p.find(f"{W}pPr/{W}keepNext") is None]
    return all(p.find(f"{W}pPr/{W}pStyle").get(f"{W}val") in {"ProcBar", "ProcSignal"} for p in bare)  # type: ignore[union-attr]


def test_signal_words_and_alert_symbol() -> None:
    """ANSI Z535.6, from memory: DANGER, WARNING and CAUTION carry the safety alert symbol, NOTICE never."""
    for signal, pictures in ((Signal.DANGER, 1), (Signal.WARNING, 1), (Signal.CAUTION, 1), (Signal.NOTICE, 0)):
        sheet = replace(rich_sheet(), blocks=(HazardPanel(signal, "Thing"),))
        root = part(docx_bytes(sheet))
        assert len(list(root.iter(f"{WP}inline"))) == pictures
        assert signal.value.upper() in text_of(root)


def test_pictures_have_alternative_text_and_numbers_of_their_own() -> None:
    root = part(docx_bytes(rich_sheet()))
    drawn = list(root.iter(f"{WP}docPr"))
    assert len({node.get("id") for node in drawn}) == len(drawn) > 10
    assert all(node.get("descr") for node in drawn)
    assert any("tighten 1, 3, 2, 4" in str(node.get("descr")) for node in drawn)


def test_links_lead_somewhere_or_are_plain_words() -> None:
    lost = Paragraph(("See ", Run("step nine", to="nowhere"), "."))
    sheet = rich_sheet()
    root = part(docx_bytes(replace(sheet, blocks=(*sheet.blocks, lost))))
    places = {node.get(f"{W}name") for node in root.iter(f"{W}bookmarkStart")}
    links = [node.get(f"{W}anchor") for node in root.iter(f"{W}hyperlink")]
    assert len(links) >= 4
    assert set(links) <= places
    assert "See step nine." in text_of(root)
    # a control that shares its paragraph with a link makes one program drop the link
    assert not [p for p in root.iter(f"{W}p") if p.find(f"{W}hyperlink") is not None and p.find(f"{W}sdt") is not None]


def test_head_and_foot_of_every_page() -> None:
    sheet = rich_sheet()
    data = docx_bytes(replace(sheet, control=replace(sheet.control, mark="Review print")))
    with ZipFile(BytesIO(data)) as packed:
        names = packed.namelist()
    for turn in ("portrait", "landscape"):
        head, foot = (part(data, f"word/{kind}-{turn}.xml") for kind in ("head", "foot"))
        for words in (
            "Service the first-stage outlet valve",
            "BGB-M-014",
            "Rev. B",
            "Issued for use",
            "C-201",
            "frame-S, wet gas",
            "Work order",
            "Review print",
        ):
            assert words in text_of(head), words
        assert len(list(head.iter(f"{W}p"))) == 5, "two lines of title and two of control data, and the mark"
        assert [str(node.get(f"{W}instr")).strip() for node in foot.iter(f"{W}fldSimple")] == ["PAGE", "NUMPAGES"]
        for words in (
            "2026-09-30",
            "494E F8C5 3025 BB60",
            "Check the revision before use.",
            "Follow the maker's manual, site rules and local codes; work by qualified people.",
        ):
            assert words in text_of(foot), words
    assert len([name for name in names if name.startswith("word/head-")]) == 2
    assert len(list(part(data).iter(f"{W}sectPr"))) == 3


def test_no_page_stays_empty_after_a_full_one() -> None:
    """A paragraph between a table that fills its page and a new page would go over, and take a page for itself."""
    body = part(docx_bytes(rich_sheet())).find(f"{W}body")
    assert body is not None
    breaks = 0
    for before, after in pairwise(body):
        if after.find(f"{W}pPr/{W}pageBreakBefore") is not None or after.find(f"{W}pPr/{W}sectPr") is not None:
            breaks += 1
            style = before.find(f"{W}pPr/{W}pStyle")
            assert style is None or style.get(f"{W}val") != "ProcGap"
    assert breaks >= 3
    for end in body.iterfind(f"{W}p/{W}pPr/{W}sectPr"):
        spacing = end.getparent().find(f"{W}spacing")  # type: ignore[union-attr]
        assert spacing is not None and (spacing.get(f"{W}line"), spacing.get(f"{W}lineRule")) == ("20", "exact")


def test_print_sizes() -> None:
    """Asked for by a technician at the machine: 11 pt instructions and warnings, 14 pt numbers; lists 9.5 pt.

    Nothing to be read is smaller than 8 pt.
    """
    styles = part(docx_bytes(rich_sheet()), "word/styles.xml")
    sizes = {s.get(f"{W}styleId"): s.find(f"{W}rPr/{W}sz") for s in styles.iter(f"{W}style")}
    for name, half_points in (
        ("ProcInstruction", "22"),
        ("ProcPanel", "22"),
        ("ProcNumber", "28"),
        ("ProcList", "19"),
    ):
        assert sizes[name].get(f"{W}val") == half_points  # type: ignore[union-attr]
    read = {name: int(str(size.get(f"{W}val"))) for name, size in sizes.items() if size is not None}
    assert min(size for name, size in read.items() if name != "ProcGap") >= 16
    used = [int(str(node.get(f"{W}val"))) for node in part(docx_bytes(rich_sheet())).iter(f"{W}sz")]
    assert min(used) >= 16
    lang = styles.find(f".//{W}lang")
    assert lang is not None
    assert lang.get(f"{W}val") == "en-GB"


def test_hostile_words_stay_words() -> None:
    root = part(docx_bytes(hostile_sheet()))
    words = text_of(root)
    assert "<b>&amp; ]]> \ufffd" in words
    assert "\u202e" not in words
    assert "W" * 10_000 in words
    assert not list(root.iter("b"))


def test_outlines_that_contradict_themselves_are_refused_and_leave_nothing(tmp_path: Path) -> None:
    control = rich_sheet().control
    twice = Steps((step("1.1", "One."), step("1.2", "Two.", key="s-1.1")))
    ragged = ListTable(("a", "b"), (("1", "2", "3"),))
    for block, why in (
        (twice, "twice"),
        (ragged, "do not fit"),
        (Figure("x", png=b"no picture"), "picture"),
        (Figure("x"), "no picture"),
    ):
        old = tmp_path / "sheet.docx"
        old.write_bytes(b"old")
        with pytest.raises(ValueError, match=why):
            write_docx(Sheet(control, (block,)), old)
        assert old.read_bytes() == b"old"
        assert [left.name for left in tmp_path.iterdir()] == ["sheet.docx"]
    with pytest.raises(ValueError, match="Letter"):
        docx_bytes(rich_sheet(), paper="A3")


def test_a_customers_template_keeps_its_styles_and_gets_ours(tmp_path: Path) -> None:
    import docx

    given = docx.Document()
    given.add_paragraph("text of the template that must not show")
    given.styles["Normal"].font.name = "Georgia"  # type: ignore[attr-defined]
    path = tmp_path / "house.docx"
    given.save(str(path))
    data = docx_bytes(rich_sheet(), template=path)
    styles = part(data, "word/styles.xml")
    ids = [style.get(f"{W}styleId") for style in styles.iter(f"{W}style")]
    assert len(set(ids)) == len(ids)
    assert {"ProcInstruction", "ProcNumber", "Heading1"} <= set(ids)
    assert b"Georgia" in etree.tostring(styles)
    assert "must not show" not in text_of(part(data))
    assert len(docx.Document(BytesIO(data)).tables) == len(docx.Document(BytesIO(docx_bytes(rich_sheet()))).tables)
    broken = tmp_path / "broken.docx"
    broken.write_bytes(b"PK\x03\x04 not a zip")
    with pytest.raises(TemplateError, match=r"broken\.docx"):
        docx_bytes(rich_sheet(), template=broken)


def test_blanks_refuse_what_no_format_can_carry() -> None:
    for name in ("", "a b", "x" * 65, "a\nb", "tab\t"):
        with pytest.raises(ValueError, match="blank id"):
            Blank(name, BlankKind.TEXT)
    with pytest.raises(ValueError, match="choices"):
        Blank("a", BlankKind.CHOICE)
    with pytest.raises(ValueError, match="choices"):
        Blank("a", BlankKind.TICK, choices=("x",))


def test_entries_know_the_ways_they_lie_on() -> None:
    ways = {
        entry.blank.id: [getattr(head, "label", type(head).__name__) for head in entry.heads]
        for entry in entries(rich_sheet())
    }
    assert ways["s-2.2/done"] == ["YES"]
    assert ways["gas/no/done"] == []
    assert ways["s-2.3/done"] == []
    assert ways["again-2/result"] == ["REJECTED", "RoundHead"]
    assert ways["s-3.5/serial"] == ["OR"]
    assert ways["prove/p"] == []
    assert GAS.signal is Signal.DANGER
