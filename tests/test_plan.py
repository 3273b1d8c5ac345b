"""The planner's page: a schedule that keeps the order and the crew, and figures with their sources."""

from __future__ import annotations

import itertools
import zipfile
from pathlib import Path

import pytest
from typer.testing import CliRunner

from procforge.analysis.depends import dependencies
from procforge.analysis.machine import Machine
from procforge.cli import app
from procforge.engineering.base import Outside
from procforge.plan.clock import clock
from procforge.plan.crew import Plan, plan
from procforge.plan.gas_figures import energy_figures
from procforge.plan.joint_figures import joint_figures
from procforge.plan.paths import Way
from procforge.rules.base import Case
from procforge.sheet.drawing import Text
from procforge.stages import check_all

ROOT = Path(__file__).parent.parent
SHIPPED = sorted((ROOT / "procedures").rglob("*.proc"))
BOOSTER = ROOT / "procedures/booster/valve-service.proc"


def case_of(path: Path) -> Case:
    case = check_all([path], (), ())[0].case
    assert case is not None
    return case


def made(case: Case, way: Way, rejected: frozenset[str] = frozenset()) -> Plan | Outside:
    return plan(case.procedure, Machine(case.equipment, case.variants[0]), way, rejected)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_a_schedule_keeps_order_crew_and_bound(path: Path) -> None:
    case = case_of(path)
    for way in (Way.BEST, Way.WORST):
        found = made(case, way)
        if isinstance(found, Outside):
            assert "no step states" in found.message
            continue
        slots = {slot.name: slot for slot in found.schedule.slots}
        assert len(slots) == len(found.jobs), "every job has its place"
        depends = dependencies(case.procedure, Machine(case.equipment, case.variants[0]))
        for edge in depends.binding:
            if str(edge.source) in slots and str(edge.target) in slots:
                assert slots[str(edge.source)].finish <= slots[str(edge.target)].start + 1e-6
        for who in found.schedule.busy:
            own = sorted((s.start, s.finish) for s in slots.values() if who in s.people)
            assert all(a[1] <= b[0] + 1e-6 for a, b in itertools.pairwise(own)), f"{who} does two things at once"
            assert who[1] <= found.crew[who[0]]
        assert found.schedule.length.value >= found.schedule.bound.value - 1e-6
        assert found.schedule.length.value >= found.network.length.value - 1e-6


def test_a_result_given_lengthens_the_job() -> None:
    case = case_of(BOOSTER)
    best, given, worst = (made(case, Way.BEST), made(case, Way.GIVEN, frozenset({"leak-drip"})), made(case, Way.WORST))
    assert isinstance(best, Plan)
    assert isinstance(given, Plan)
    assert isinstance(worst, Plan)
    assert best.schedule.length.value <= given.schedule.length.value <= worst.schedule.length.value
    assert best.schedule.length.value < worst.schedule.length.value


def test_the_picture_tells_each_job_once_in_its_lane() -> None:
    found = made(case_of(BOOSTER), Way.BEST)
    assert isinstance(found, Plan)
    labels = {job.name: f"j{job.name}" for job in found.jobs}
    picture = clock(found, labels)
    texts = [shape for shape in picture.shapes if isinstance(shape, Text)]
    for who in found.schedule.busy:
        assert any(text.text == f"{who[0]} {who[1]}" for text in texts)
    for text in texts:
        left, _, right, _ = text.box
        assert left >= -0.1, text.text
        assert right <= picture.width + 0.1, text.text
    assert all(text.size >= 7 for text in texts)


def test_the_figures_name_what_they_were_worked_out_from() -> None:
    case = case_of(BOOSTER)
    machine = Machine(case.equipment, case.variants[0])
    rows = [*energy_figures(case.procedure, machine, str), *joint_figures(case.procedure, machine, str)]
    for row in rows:
        assert row.refused or row.name == "note" or (row.source and row.basis), row.name
    by = {(row.about, row.name): row.value for row in rows}
    # M12, 60 N·m, oiled, by VDI 2230 with the friction class B at both ends; proof load of 10.9 from ISO 898-1
    about = "cover-nuts of inlet-pocket, 60 N·m ± 10 %"
    assert by[about, "preload at the least friction 0.08"] == "43.3 kN"
    assert by[about, "share of the proof load at the least friction"] == "61.8 %"
    assert by["cylinder", "limit 0.05 bar(g) over the error of PI-1 (4 or more is wanted)"] == "5"


def test_a_gas_that_no_table_has_is_said_and_not_guessed(tmp_path: Path) -> None:
    for part in ("booster.equip", "booster.units", "valve-service.proc"):
        text = (BOOSTER.parent / part).read_text(encoding="utf-8")
        (tmp_path / part).write_text(text.replace("holds biogas,", "holds landfill-gas,"), encoding="utf-8")
    site = ROOT / "procedures/site.equip"
    (tmp_path.parent / "site.equip").write_bytes(site.read_bytes())
    case = case_of(tmp_path / "valve-service.proc")
    machine = Machine(case.equipment, case.variants[0])
    refused = [row for row in energy_figures(case.procedure, machine, str) if row.refused]
    assert any("landfill gas" in row.value for row in refused)


def test_the_page_from_the_command_line(tmp_path: Path) -> None:
    out = tmp_path / "plan.docx"
    result = CliRunner().invoke(app, ["plan", str(BOOSTER), "-u", "K-101", "-o", str(out), "--machines", "2"])
    assert result.exit_code == 0, result.output
    text = zipfile.ZipFile(out).read("word/document.xml").decode()
    for words in (
        "Time and crew",
        "Kit",
        "Energies in numbers",
        "Bolted joints in numbers",
        "Not for field use",
        "never a proof",
    ):
        assert words in text
    first = out.read_bytes()
    CliRunner().invoke(app, ["plan", str(BOOSTER), "-u", "K-101", "-o", str(out), "--machines", "2"])
    assert out.read_bytes() == first


@pytest.mark.parametrize(
    ("options", "reason"),
    [
        (["-o", "plan.pdf"], ".docx"),
        (["-o", "plan.docx", "--rejected", "no-such"], "no-such"),
        (["-o", "plan.docx", "--machines", "0"], "one machine or more"),
    ],
)
def test_a_wrong_use_is_said(options: list[str], reason: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(app, ["plan", str(BOOSTER), *options])
    assert result.exit_code == 2
    assert reason in result.output
    assert not list(tmp_path.iterdir())
