"""The ways out of a decision stay on one page: who ticks sees them all (common practice, no source)."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from docx import Document
from typer.testing import CliRunner

from procforge.cli import app

PROCEDURE = Path(__file__).parent.parent / "procedures/booster/valve-service.proc"
WAY = "\u25ba"


def test_a_way_out_is_kept_with_the_next_one(tmp_path: Path) -> None:
    made = tmp_path / "sheet.docx"
    done = CliRunner().invoke(app, ["sheet", str(PROCEDURE), "-u", "K-101", "-o", str(made)])
    assert done.exit_code == 0, done.output
    pairs = 0
    for table in Document(str(made)).tables:
        rows = [row.cells for row in table.rows]
        for upper, lower in pairwise(rows):
            if upper[0].text.startswith(WAY) and lower[0].text.startswith(WAY):
                pairs += 1
                kept = [para.paragraph_format.keep_with_next for para in upper[0].paragraphs]
                assert kept and all(kept), upper[0].text
    assert pairs >= 5
