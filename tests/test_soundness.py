"""Ways to be told "sound" without a proof: none may work."""

from __future__ import annotations

from pathlib import Path

from procforge.resolve.load import Library
from procforge.stages import Checked, check_file
from tests.mutants import ROOT

CALLER = ROOT / "procedures" / "two-jobs" / "trap-service.proc"
RACK = """equipment RACK "Rack of cups"
places {places}
part cup "Cup"
  at {places}
"""
TAKE = """procedure RCK-M-001 "Press the cups home"
revision A, 2026-10-01, "First issue"
use "rack.equip"
author "Planner", 2026-09-20
reviewer "Engineer", 2026-09-25
approver "Manager", 2026-10-01
crew 1 fitter
before starting none
section "Cups"
step fit cup by fitter
  waive not-in-that-state by fitter "They are pressed home, not put in."
"""


def checked_with(name: str, old: str, new: str) -> Checked:
    """The caller with one text changed in one of the files it rests on."""

    def read(path: Path) -> bytes:
        data = path.read_bytes()
        if path.name == name:
            assert old.encode() in data
            data = data.replace(old.encode(), new.encode(), 1)
        return data

    return check_file(Library(read), CALLER)


def test_the_caller_is_sound_as_shipped() -> None:
    assert checked_with("make-safe.proc", "step lock ", "step lock ").sound


def test_a_called_procedure_whose_proof_fails_leaves_its_caller_unproved() -> None:
    checked = checked_with("make-safe.proc", "step lock ", "step inspect ")
    assert [f.rule for f in checked.findings] == ["called-procedure-faulty"]
    assert "make-safe.proc" in checked.findings[0].message
    assert not checked.sound


def test_no_variant_is_no_proof() -> None:
    assert not check_file(Library(), ROOT / "procedures/booster/valve-service.proc", ["no-such-model"]).sound


def rack(folder: Path, cups: int) -> Checked:
    places = ", ".join(f"p{n}" for n in range(cups))
    (folder / "rack.equip").write_text(RACK.format(places=places), encoding="utf-8")
    (folder / "take.proc").write_text(TAKE, encoding="utf-8")
    return check_file(Library(), folder / "take.proc")


def test_what_was_not_searched_is_not_proved_though_all_that_is_told_is_waived(tmp_path: Path) -> None:
    assert rack(tmp_path, 30).sound, "a waiver of a rule that may be waived"
    many = rack(tmp_path, 60)
    assert not many.sound
    assert [f.rule for f in many.findings] == ["more-of-the-same"]
    assert many.errors
