"""A line of the machine file that can't be read is one finding; nothing that rests on it is told besides."""

from __future__ import annotations

from pathlib import Path

import pytest

from procforge.resolve.load import Library
from procforge.stages import check_file
from tests.mutants import ROOT

FOLDER = ROOT / "procedures" / "booster"
MACHINE = (FOLDER / "booster.equip").read_text(encoding="utf-8")


def findings(machine: str) -> tuple[list[str], bool]:
    """Rules found in the demo with another machine file, and whether it counts as proved."""

    def read(path: Path) -> bytes:
        return machine.encode() if path.name == "booster.equip" else path.read_bytes()

    checked = check_file(Library(read), FOLDER / "valve-service.proc")
    return [f.rule for f in checked.findings], checked.sound


def lines() -> list[int]:
    """Every line of the machine file that says something, every third of them for speed."""
    kept = [n for n, line in enumerate(MACHINE.split("\n")) if line.strip() and not line.strip().startswith(("#", '"'))]
    return kept[::3]


@pytest.mark.parametrize("number", lines())
def test_a_garbled_line_is_one_finding_and_the_file_is_not_proved(number: int) -> None:
    rows = MACHINE.split("\n")
    rows[number] = rows[number].replace(rows[number].split()[0], "qq" + rows[number].split()[0], 1)
    found, sound = findings("\n".join(rows))
    assert found == ["unreadable-line"], rows[number]
    assert not sound
