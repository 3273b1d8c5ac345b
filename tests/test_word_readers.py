"""Readers of the Word sheet that share no code with its writer: a schema checker, LibreOffice, another process."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZipFile

import pytest
from printing import pages_of
from sheet_samples import SOUR, sample
from word_samples import hostile_sheet, long_sheet, rich_sheet

from procforge.render.word import docx_bytes, write_docx
from procforge.render.word.running import PAPERS
from procforge.sheet.build import build_sheet
from procforge.sheet.outline import Arm, DecisionHead, HoldBar, Prose, Sheet, StepRow, Steps, StopRow, plain


def folded(text: Prose) -> str:
    """Words as they are compared: spaces folded."""
    return " ".join(plain(text).split())


def test_same_sheet_same_bytes_in_another_process(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from word_samples import rich_sheet; "
        "from procforge.render.word import write_docx; write_docx(rich_sheet(), Path(sys.argv[1]))"
    )
    here = Path(__file__).parent
    wanted = docx_bytes(rich_sheet())
    assert docx_bytes(rich_sheet()) == wanted
    for seed, zone in (("1", "UTC"), ("4711", "Asia/Tokyo")):
        out = tmp_path / f"{seed}.docx"
        paths = os.pathsep.join((str(here.parent), str(here)))
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": paths}
        subprocess.run([sys.executable, "-c", program, str(out)], check=True, env=env)
        assert out.read_bytes() == wanted
    with ZipFile(BytesIO(wanted)) as packed:
        items = packed.infolist()
    assert [item.filename for item in items] == sorted(item.filename for item in items)
    assert {(item.date_time, item.create_system) for item in items} == {((1980, 1, 1, 0, 0, 0), 0)}


def built_sheet() -> Sheet:
    """A sheet from the models."""
    with TemporaryDirectory() as folder:
        return build_sheet(sample(Path(folder)), SOUR, source_hash="c0ffee" * 8)


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("make", [rich_sheet, hostile_sheet, built_sheet])
def test_the_schema_checker_finds_nothing(tmp_path: Path, make: object, paper: str) -> None:
    if not (os.environ.get("CI") or find_spec("openxml_audit")):
        pytest.skip("openxml-audit is not installed")
    from openxml_audit import OpenXmlValidator

    checker = OpenXmlValidator()
    path = tmp_path / "sheet.docx"
    write_docx(make(), path, paper=paper)  # type: ignore[operator]
    assert [str(error) for error in checker.validate(str(path)).errors] == []
    # the checker can fail: an element out of place is seen
    with ZipFile(path) as packed:
        items = {name: packed.read(name) for name in packed.namelist()}
    items["word/document.xml"] = items["word/document.xml"].replace(b"<w:body>", b"<w:body><w:tcW/>", 1)
    with ZipFile(path, "w") as packed:
        for name, content in items.items():
            packed.writestr(name, content)
    assert checker.validate(str(path)).errors


def as_printed(sheet: Sheet, folder: Path) -> str:
    """A sheet as LibreOffice prints it, as text with spaces folded; absent tools fail in CI, skip elsewhere."""
    write_docx(sheet, folder / "sheet.docx")
    return " ".join(pages_of([folder / "sheet.docx"], folder)[0])


@pytest.fixture(scope="session")
def printed(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The rich sheet as text."""
    return as_printed(rich_sheet(), tmp_path_factory.mktemp("print"))


def check_order(sheet: Sheet, printed: str) -> int:
    """Every step, hazard, hold, decision and answer is printed, in the order of the sheet; how many lines that were."""
    at = count = 0
    for block in sheet.blocks:
        for row in block.rows if isinstance(block, Steps) else ():
            if isinstance(row, StepRow):
                wanted = [(hazard.signal.value.upper(), hazard.hazard) for hazard in row.hazards]
                lines = [word for pair in wanted for word in pair] + [folded(line) for line in row.instruction]
            elif isinstance(row, HoldBar):
                lines = [f"POINT {row.number}", row.text, row.role]
            elif isinstance(row, DecisionHead):
                lines = [folded(row.text)]
            elif isinstance(row, Arm):
                lines = [row.label]
            elif isinstance(row, StopRow):
                lines = [folded(row.text), row.call]
            else:
                continue
            for line in lines:
                found = printed.find(line, at)
                assert found >= 0, f"{line!r} is not printed after {printed[max(0, at - 60) : at]!r}"
                at = found + len(line)
                count += 1
    return count


def test_libreoffice_prints_every_step_hazard_and_hold_in_order(printed: str) -> None:
    assert check_order(rich_sheet(), printed) > 50


def test_libreoffice_prints_a_built_sheet_in_order(tmp_path: Path) -> None:
    """A sheet from the models, with every kind of statement."""
    sheet = built_sheet()
    text = as_printed(sheet, tmp_path)
    assert check_order(sheet, text) > 150
    assert (
        text.index("Isolation and blind list") > text.index("Where we are: stopping place") > text.index("Parts used")
    )
    assert "C0FF EEC0 FFEE C0FF" in text


def test_libreoffice_prints_the_control_data_on_every_page(printed: str) -> None:
    pages = len(re.findall(r"Page \d+ of (\d+)", printed))
    assert pages == int(re.findall(r"Page \d+ of (\d+)", printed)[0]) > 5
    for words in (
        "Check the revision before use.",
        "Follow the maker's manual",
        "494E F8C5 3025 BB60",
        "Issued for use",
    ):
        assert printed.count(words) >= pages


@pytest.mark.bench
def test_time_grows_with_the_rows() -> None:
    def seconds(rows: int) -> float:
        sheet = long_sheet(rows)
        times = []
        for _ in range(5):
            start = time.perf_counter()
            docx_bytes(sheet)
            times.append(time.perf_counter() - start)
        return min(times)

    small, large = seconds(1_000), seconds(8_000)
    print(f"1,000 rows {small:.3f} s, 8,000 rows {large:.3f} s, 3,000 rows {seconds(3_000):.3f} s")
    assert large / small < 8**1.15
