"""Advice: each kind where it is due, silent just beside it, and none of it on a procedure that is not proved."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from procforge.advice import KINDS, advise
from procforge.advice.advise import EARLY, MORE_VISIBLE, REDUNDANT, SIDE_BY_SIDE
from procforge.advice.trees import without
from procforge.analysis.proof import prove
from procforge.cli import app
from procforge.findings import Finding, Severity
from procforge.model.tree import walk
from procforge.rules.base import Case
from procforge.stages import check_all

ROOT = Path(__file__).parent.parent
SHARED = Path(__file__).parent / "pages" / "shared"
SHIPPED = [ROOT / "procedures" / name for name in ("packing/rod-packing.proc", "two-jobs/trap-service.proc")]


def case_of(tmp_path: Path, *edits: tuple[str, str]) -> Case:
    """The filter job with some texts changed, each of which stands in it once."""
    text = (SHARED / "a-filter.proc").read_text(encoding="utf-8")
    machine = (SHARED / "a-filter.equip").read_text(encoding="utf-8")
    for old, new in edits:
        assert (text + machine).count(old) == 1, old
        text, machine = text.replace(old, new), machine.replace(old, new)
    (tmp_path / "a-filter.equip").write_text(machine, encoding="utf-8")
    (tmp_path / "a-filter.proc").write_text(text, encoding="utf-8")
    case = check_all([tmp_path / "a-filter.proc"], (), ())[0].case
    assert case is not None
    return case


def told(case: Case, kind: str) -> list[tuple[str, Finding]]:
    return [(f.span.source.line(f.span.line).strip(), f) for f in advise(case) if f.rule == kind]


def test_the_sample_as_it_is_needs_no_advice(tmp_path: Path) -> None:
    assert advise(case_of(tmp_path)) == []


def test_a_second_vent_is_to_spare(tmp_path: Path) -> None:
    once = "step vent housing by operator\n"
    case = case_of(tmp_path, (once, once + "step shut vent by operator\n" + once))
    lines = [line for line, _ in told(case, REDUNDANT)]
    assert lines, "opened, shut, opened: one of them is to spare"
    assert all(line.startswith(("step vent", "step shut")) for line in lines)


def test_telling_and_testing_are_never_to_spare(tmp_path: Path) -> None:
    case = case_of(tmp_path)
    assert any(getattr(work, "verb", "") == "notify" for work in case.works)
    assert told(case, REDUNDANT) == []


def test_a_step_to_spare_may_go(tmp_path: Path) -> None:
    """What the advice says is tried: without the step the proof holds on every variant."""
    once = "step vent housing by operator\n"
    case = case_of(tmp_path, (once, once + "step shut vent by operator\n" + once))
    for _, finding in told(case, REDUNDANT):
        work = next(w for w in walk(case.procedure.body) if w.where == finding.span)
        assert not prove(without(case.procedure, work), case.variants).faults


PAIR = "step clean element, strainer with wipes by fitter\n"
OTHER = "step count cover-bolts by operator\n"


@pytest.mark.parametrize(
    ("first", "second", "due"),
    [
        ("  takes 10 min\n", "  takes 5 min\n", True),
        ("  takes 10 min\n", "", False),  # without a time nothing is saved
        ("", "  takes 5 min\n", False),
    ],
)
def test_two_people_need_not_wait_for_each_other(first: str, second: str, due: bool, tmp_path: Path) -> None:
    case = case_of(tmp_path, (PAIR, PAIR + first + OTHER + second))
    found = told(case, SIDE_BY_SIDE)
    assert bool(found) is due
    if due:
        assert found[0][0] == OTHER.strip()
        assert "5 min" in found[0][1].why


def test_one_person_cannot_do_two_things(tmp_path: Path) -> None:
    mine = OTHER.replace("operator", "fitter")
    case = case_of(tmp_path, (PAIR, PAIR + "  takes 10 min\n" + mine + "  takes 5 min\n"))
    assert told(case, SIDE_BY_SIDE) == []


def test_what_needs_the_other_is_not_told_to_overlap(tmp_path: Path) -> None:
    off = "step remove cover-bolts with ring-wrench by fitter\n"
    cover = "step remove cover by fitter\n"
    case = case_of(
        tmp_path, (off + cover, off + "  takes 10 min\n" + cover.replace("fitter", "operator") + "  takes 5 min\n")
    )
    assert told(case, SIDE_BY_SIDE) == []


def test_a_proof_long_before_it_is_needed(tmp_path: Path) -> None:
    """Five steps that leave the pressure alone stand between the proof and the hold that sees it."""
    hold = 'hold H1 "Zero pressure seen" by fitter\n'
    idle = "".join(f"step observe ring-wrench by {who}\n" for who in ("fitter", "operator") * 3)
    case = case_of(tmp_path, (hold, idle + hold))
    found = told(case, EARLY)
    assert [line for line, _ in found] == ["step prove housing at PI-1 by operator"]
    assert "6 steps later" in found[0][1].message
    few = case_of(tmp_path, (hold, "step observe ring-wrench by fitter\n" + hold))
    assert told(few, EARLY) == []


def test_a_hold_that_could_see_more() -> None:
    """The packing job holds before two more cups go in, which the gland hides only later."""
    case = check_all([ROOT / "procedures/packing/rod-packing.proc"], (), ())[0].case
    assert case is not None
    found = told(case, MORE_VISIBLE)
    assert len(found) == 1
    assert all(line.startswith("hold") for line, _ in found)
    for _, finding in found:
        assert finding.marks
        assert finding.marks[0].span.line > finding.span.line


def test_a_faulty_procedure_gets_no_advice(tmp_path: Path) -> None:
    case = case_of(tmp_path, ("step prove housing at PI-1 by operator\n  limit 0 to 0.05 bar(g)\n", ""))
    assert case.proof.faults
    assert advise(case) == []


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_advice_on_the_shipped_procedures_is_a_note_with_its_reason(path: Path) -> None:
    case = check_all([path], (), ())[0].case
    assert case is not None
    for finding in advise(case):
        assert finding.severity is Severity.NOTE
        assert finding.rule in KINDS
        assert finding.why
        assert finding.mend
        assert finding.span.line
        assert "notify" not in finding.message


def test_the_command(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["advise", str(ROOT / "procedures/packing/rod-packing.proc")])
    assert result.exit_code == 0
    shutil.copytree(SHARED, tmp_path / "s")
    text = (tmp_path / "s/a-filter.proc").read_text(encoding="utf-8")
    (tmp_path / "s/a-filter.proc").write_text(text.replace("step lock", "step observe"), encoding="utf-8")
    result = CliRunner().invoke(app, ["advise", str(tmp_path / "s/a-filter.proc")])
    assert result.exit_code == 1
    assert "not proved" in result.output
