"""A test pressure is not read at the gauge that proves zero: that gauge ends far below it (common practice, no source)."""

from __future__ import annotations

from pathlib import Path

import pytest

from procforge.resolve.load import Library
from procforge.sheet.build import build_sheet
from procforge.sheet.outline import Sheet
from procforge.sheet.walk import entries
from procforge.stages import check_file
from tests.mutants import PROCEDURES


def sheet_of(path: Path) -> Sheet:
    """The sheet of the first variant."""
    case = check_file(Library(), path).case
    assert case is not None
    return build_sheet(case.procedure, case.variants[0], source_hash="0" * 64)


def labels(sheet: Sheet, verb: str) -> list[str]:
    """The labels of the blanks of a verb's steps."""
    return [e.blank.label for e in entries(sheet) if e.blank.id.startswith(f"{verb}.")]


@pytest.mark.parametrize("path", PROCEDURES, ids=lambda p: p.stem)
def test_no_test_pressure_is_read_at_a_proving_gauge(path: Path) -> None:
    sheet = sheet_of(path)
    under_pressure = labels(sheet, "pressurise") + labels(sheet, "leak-test")
    assert not [label for label in under_pressure if "proving" in label.lower()]
    if any("Pressure reached" in label for label in under_pressure):
        assert any(label.endswith("serial no.") for label in under_pressure), "a gauge is named or asked for"


def test_the_proof_has_its_gauge() -> None:
    booster = next(p for p in PROCEDURES if p.stem == "valve-service")
    assert any("proving gauge" in label.lower() for label in labels(sheet_of(booster), "prove"))
