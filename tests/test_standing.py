"""A where-we-are page tells a spare's valve, which is shut in service, once it stands open (common practice, no source)."""

from __future__ import annotations

from pathlib import Path

from procforge.analysis.proof import variants_of
from procforge.model.procedure import Mark
from procforge.model.tree import walk
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.build import build_sheet
from procforge.sheet.walk import entries

MACHINE = """\
equipment RIG "Rig"
pressure-space vessel "Vessel"
  holds water
  isolated by inlet
isolator inlet "Inlet valve"
  in service open, isolates when shut
isolator spare-valve "Valve of the spare"
  in service shut, isolates when shut
"""
JOB = """\
procedure T-1 "Job"
use "rig.equip"
crew 1 fitter
section "Work"
{steps}step isolate inlet
step lock inlet
may stop here
"""


def _state(folder: Path, steps: str) -> str:
    (folder / "rig.equip").write_text(MACHINE, encoding="utf-8")
    (folder / "job.proc").write_text(JOB.format(steps=steps), encoding="utf-8")
    procedure = resolve(Library(), folder / "job.proc").value
    assert any(isinstance(w, Mark) and w.form == "may-stop" for w in walk(procedure.body))
    sheet = build_sheet(procedure, variants_of(procedure)[0], source_hash="ab" * 32)
    return "\n".join(str(e) for e in entries(sheet))


def test_an_opened_spare_is_told_as_open(tmp_path: Path) -> None:
    said = _state(tmp_path, "step open spare-valve\n")
    assert "Valve of the spare open" in said


def test_a_spare_left_shut_is_not_told(tmp_path: Path) -> None:
    said = _state(tmp_path, "step clean spare-valve\n")
    assert "Valve of the spare open" not in said
    assert "Valve of the spare shut" not in said


def test_a_spare_shut_again_is_not_told(tmp_path: Path) -> None:
    said = _state(tmp_path, "step open spare-valve\nstep shut spare-valve\n")
    assert "Set, not locked" not in said
