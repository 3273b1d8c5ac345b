"""The flow charts of a sheet: of its pages, in words too, large enough in print on both papers, quick, and the same."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from lxml import etree
from PIL import Image
from wordlint import lint

from procforge.analysis.proof import variants_of
from procforge.model.procedure import Procedure
from procforge.render.chart import LEAST_PT, laid_book
from procforge.render.word import docx_bytes, write_docx
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.build import build_sheet
from procforge.sheet.chart import Chart, ChartEdge, ChartNode, NodeKind
from procforge.sheet.numbering import numbers
from procforge.sheet.outline import ChartPages, Control, Heading, PageBreak, Sheet, Turn

SHIPPED = sorted((Path(__file__).parent.parent / "procedures").rglob("*.proc"))
W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
WP = "{http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing}"
A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
R = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
EMU_PT = 12_700
HEADING_PT = 40  # a line of 13 pt with the space over and under it
DPI = 150  # at full size, where letters have 10 pt
LAYOUT = sys.modules["procforge.render.chart.layout"]


@dataclass(frozen=True)
class Placed:
    """A picture as printed: its words, its size in points, its dots across and down, the heading before it."""

    alt: str
    across: float
    down: float
    dots: tuple[int, int]

    @property
    def letters(self) -> float:
        """The size of its letters in points."""
        return 10 * self.across / (self.dots[0] * 72 / DPI)


def charts_only(procedure: Procedure) -> Sheet:
    """A sheet of nothing but the charts of the first variant, under their heading."""
    sheet = build_sheet(procedure, variants_of(procedure)[0], source_hash="0" * 64)
    at = next(i for i, block in enumerate(sheet.blocks) if isinstance(block, ChartPages))
    return Sheet(sheet.control, sheet.blocks[at - 2 : at + 1], labels=sheet.labels)


def placed(data: bytes) -> Iterator[Placed]:
    with ZipFile(BytesIO(data)) as packed:
        root = etree.fromstring(packed.read("word/document.xml"))
        targets = {
            one.get("Id"): one.get("Target") for one in etree.fromstring(packed.read("word/_rels/document.xml.rels"))
        }
        for inline in root.iter(f"{WP}inline"):
            size = inline.find(f"{WP}extent")
            name = targets[next(inline.iter(f"{A}blip")).get(f"{R}embed")]
            dots = Image.open(BytesIO(packed.read(f"word/{name}"))).size
            yield Placed(
                inline.find(f"{WP}docPr").get("descr"),
                int(size.get("cx")) / EMU_PT, int(size.get("cy")) / EMU_PT, dots,
            )  # fmt: skip


def text_area(data: bytes) -> tuple[float, float]:
    """Width and height between the margins of the page, in points."""
    with ZipFile(BytesIO(data)) as packed:
        root = etree.fromstring(packed.read("word/document.xml"))
    size, margins = next(root.iter(f"{W}pgSz")), next(root.iter(f"{W}pgMar"))

    def points(node: etree._Element, *names: str) -> float:
        return sum(int(node.get(f"{W}{name}", "0")) for name in names) / 20

    return points(size, "w") - points(margins, "left", "right"), points(size, "h") - points(margins, "top", "bottom")


def headings(data: bytes, level: int) -> list[str]:
    with ZipFile(BytesIO(data)) as packed:
        root = etree.fromstring(packed.read("word/document.xml"))
    return [
        "".join(one.itertext())
        for one in root.iter(f"{W}p")
        if (style := one.find(f"{W}pPr/{W}pStyle")) is not None and style.get(f"{W}val") == f"Heading{level}"
    ]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_every_chart_of_a_sheet_prints_at_7_points_within_the_page(path: Path) -> None:
    sheet = charts_only(resolve(Library(), path).value)
    for paper in ("A4", "Letter"):
        data = docx_bytes(sheet, paper=paper)
        width, height = text_area(data)
        pictures = list(placed(data))
        assert all(LEAST_PT <= one.letters <= 10 for one in pictures), [one.letters for one in pictures]
        assert all(one.across <= width and one.down <= height - HEADING_PT for one in pictures)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_each_chart_has_its_heading_and_its_words(path: Path) -> None:
    procedure = resolve(Library(), path).value
    data = docx_bytes(charts_only(procedure))
    key, *charts = placed(data)
    drawn = laid_book(next(b for b in charts_only(procedure).blocks if isinstance(b, ChartPages)).chart)
    assert key.alt.startswith("Key of symbols: Step")
    assert len(charts) == len(drawn)
    assert headings(data, 2) == (["Overview", *(one.chart.title for one in drawn[1:])] if len(drawn) > 1 else [])
    words = " ".join(one.alt for one in charts)
    for ident, number in numbers(procedure, variants_of(procedure)[0]).items():
        if any(node.id == ident for one in drawn for node in one.chart.nodes):
            assert f"{number} " in words
    assert not [line for line in lint(data) if not line.startswith("headings")]


def test_the_charts_stand_before_the_page_that_is_torn_off() -> None:
    procedure = resolve(Library(), next(p for p in SHIPPED if p.stem == "valve-service")).value
    sheet = build_sheet(procedure, variants_of(procedure)[0], source_hash="0" * 64)
    kinds = [type(block) for block in sheet.blocks]
    at = kinds.index(ChartPages)
    assert sheet.blocks[at - 3] == PageBreak(Turn.PORTRAIT)
    assert sheet.blocks[at + 1] == PageBreak(Turn.LANDSCAPE)
    assert isinstance(sheet.blocks[at + 2], Heading)
    assert sheet.blocks[at + 2].anchor == "isolation-list"
    assert not any(isinstance(b, ChartPages) for b in build_sheet(procedure, variants_of(procedure)[0], source_hash="0" * 64, review=True).blocks)  # fmt: skip


def small() -> Sheet:
    nodes = (
        ChartNode("ask", NodeKind.DECISION, "Dry?", "1.1"), ChartNode("wipe", NodeKind.STEP, "Wipe it", "1.2"),
        ChartNode("H1", NodeKind.HOLD, "Seen", "H1"), ChartNode("end", NodeKind.END, "End"),
    )  # fmt: skip
    edges = (
        ChartEdge("ask", "wipe", "No"),
        ChartEdge("ask", "H1", "Yes"),
        ChartEdge("wipe", "H1"),
        ChartEdge("H1", "end"),
    )
    control = Control("T", "N-1", "A", "2026-01-02", "Released", "0" * 64)
    return Sheet(control, (Heading("Flow charts"), ChartPages(Chart("Small", nodes, edges))))


def test_a_picture_says_in_words_what_the_chart_shows() -> None:
    _, chart = placed(docx_bytes(small()))
    assert chart.alt == (
        "Small. decision 1.1 Dry? (No: to 1.2 Wipe it; Yes: to hold H1 Seen), then 1.2 Wipe it, then hold H1 Seen, then End."
    )


def test_without_a_layout_program_the_sheet_is_written_and_says_what_it_lacks(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(LAYOUT, "bundled", lambda: None)
    monkeypatch.setattr(LAYOUT, "system", lambda: None)
    told = write_docx(small(), tmp_path / "a.docx")
    assert len(told) == 1
    assert "pip install graphviz-pure" in told[0]
    data = (tmp_path / "a.docx").read_bytes()
    assert not list(placed(data))
    with ZipFile(BytesIO(data)) as packed:
        assert small().labels.no_charts in packed.read("word/document.xml").decode()
    monkeypatch.undo()
    assert write_docx(small(), tmp_path / "b.docx") == []


def test_all_charts_of_a_sheet_are_laid_out_by_one_process(monkeypatch: pytest.MonkeyPatch) -> None:
    sheet = charts_only(resolve(Library(), next(p for p in SHIPPED if p.stem == "valve-service")).value)
    ran: list[str] = []
    run = LAYOUT._run

    def counted(command: list[str], text: str) -> bytes:
        ran.append(next(word for word in command if word.startswith("-T")))
        return bytes(run(command, text))

    monkeypatch.setattr(LAYOUT, "_run", counted)
    docx_bytes(sheet)
    assert ran.count("-Tsvg") <= 3  # one, and one for each time a page was too small
    assert ran.count("-Tpng") == 4  # 14 pictures, four a process, so that processors share them


def test_a_sheet_with_charts_is_the_same_on_every_run_and_hash_seed(tmp_path: Path) -> None:
    program = "import sys; from test_sheet_charts import *; write_docx(small(), Path(sys.argv[1]))"
    here = Path(__file__).parent
    for seed in ("0", "1", "2"):
        path = os.pathsep.join((str(here), str(here.parent)))
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path}
        command = [sys.executable, "-c", program, str(tmp_path / seed)]
        subprocess.run(command, env=environment, check=True, timeout=60)
    assert len({(tmp_path / seed).read_bytes() for seed in "012"}) == 1
