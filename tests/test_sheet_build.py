"""The field sheet built from the models: everything once, in order, under stable ids."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from sheet_samples import CLEAN, HEAD, SECTIONS, SOUR, ids, rows, sample, steps, tables, text

from procforge.analysis.proof import variants_of
from procforge.model.procedure import AnyWork, Check, Hold, Measure, Procedure, Step
from procforge.model.tree import walk
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.build import build_sheet
from procforge.sheet.fields import LONGEST, field_id, in_round
from procforge.sheet.numbering import numbers
from procforge.sheet.outline import (
    HoldBar,
    Sheet,
    Signal,
    StepRow,
    StopRow,
    plain,
)
from procforge.sheet.walk import entries, repeated_ids

ROOT = Path(__file__).parent.parent
SHIPPED = sorted((ROOT / "procedures").rglob("*.proc"))


@pytest.fixture(scope="module")
def procedure(tmp_path_factory: pytest.TempPathFactory) -> Procedure:
    return sample(tmp_path_factory.mktemp("sheet"))


@pytest.fixture(scope="module")
def sheet(procedure: Procedure) -> Sheet:
    """The sample for the small frame on sour water."""
    return build_sheet(procedure, SOUR, source_hash="ab" * 32)


# ---- ids ---------------------------------------------------------------------------------------------------------
def test_ids_are_unique_and_fit_every_format(procedure: Procedure, tmp_path: Path) -> None:
    shown = [procedure, *(resolve(Library(), path).value for path in SHIPPED)]
    seen = 0
    for one in shown:
        for variant in variants_of(one):
            built = build_sheet(one, variant, source_hash="0")
            assert repeated_ids(built) == ()
            assert all(len(name) <= LONGEST and not name.split()[1:] for name in ids(built))
            seen += len(ids(built))
    assert seen > 500


def test_ids_do_not_move_with_the_numbers(sheet: Sheet, tmp_path: Path) -> None:
    before = 'section "First"\nstep clear stairs\n' + SECTIONS
    later = build_sheet(sample(tmp_path, before), SOUR, source_hash="1")
    assert set(ids(sheet)) < set(ids(later))
    assert steps(sheet)["isolate.breaker+suction-block+discharge-block+discharge-second+flush-block"].number == "1.3"
    assert steps(later)["isolate.breaker+suction-block+discharge-block+discharge-second+flush-block"].number == "2.3"


def test_ids_are_those_of_the_other_variant_where_the_step_is_in_both(procedure: Procedure, sheet: Sheet) -> None:
    other = build_sheet(procedure, CLEAN, source_hash="0")
    only = {name for name in set(ids(sheet)) ^ set(ids(other)) if not name.startswith(("list/", "kit/"))}
    assert only
    assert {name.split("/")[0] for name in only} <= {"gas", "when.gas", "stop", "observe.gland"}


def test_long_ids_keep_their_ends_apart() -> None:
    names = {
        field_id("isolate." + "very-long-valve-name+" * 6, device, part) for device in "ab" for part in ("done", "lock")
    }
    assert len(names) == 4
    assert all(len(name) == LONGEST for name in names)
    assert all(name.endswith(("/done", "/lock")) for name in names)
    assert (in_round("x", (1, 1)), in_round("x", (2,)), in_round("x", (1, 3))) == ("x", "x#2", "x#1.3")


# ---- everything once, in order -----------------------------------------------------------------------------------
def printed(works: tuple[AnyWork, ...], sheet: Sheet, procedure: Procedure) -> None:
    """Each statement for the variant has its row; each hazard stands just before the step that meets it."""
    found = Counter(row.key for row in rows(sheet) if isinstance(row, StepRow | HoldBar))
    for work in works:
        if not isinstance(work, Step | Check | Measure | Hold):
            continue
        keys = [key for key in found if key == work.id or key.startswith(f"{work.id}:")]
        if not work.only_for.holds(SOUR):
            assert keys == [], work.id
            continue
        assert keys, work.id
        assert all(found[key] == 1 for key in keys)
        met = {h.title for h in procedure.hazards if h.name in {ref.name for ref in work.meets}}
        if not isinstance(work, Hold):
            assert {panel.hazard for panel in steps(sheet)[keys[0]].hazards} == met


def test_each_step_and_hazard_stands_once(procedure: Procedure, sheet: Sheet) -> None:
    printed(tuple(walk(procedure.body)), sheet, procedure)


def test_the_numbers_are_those_of_the_charts(procedure: Procedure, sheet: Sheet) -> None:
    known = numbers(procedure, SOUR)
    assert {row.key: row.number for row in steps(sheet).values() if row.key in known} == {
        key: known[key] for key in steps(sheet) if key in known
    }


def test_rows_stand_in_written_order(procedure: Procedure, sheet: Sheet) -> None:
    order = [w.id for w in walk(procedure.body) if w.id and w.only_for.holds(SOUR)]
    shown = [row.key for row in rows(sheet) if isinstance(row, StepRow | HoldBar | StopRow) and row.key in order]
    assert shown == sorted(shown, key=order.index)


def test_signal_words_follow_severity_and_harm(sheet: Sheet) -> None:
    """ANSI Z535.6: NOTICE where no person is harmed (from memory); the rest is the default profile."""
    panels = steps(sheet)["ease.cover-nuts"].hazards
    assert [panel.signal for panel in panels] == [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]
    assert panels[0].wear == ("goggles",)


def test_hazard_summary_names_the_steps(sheet: Sheet) -> None:
    table = next(t for t in tables(sheet) if t.head[0] == "Signal word")
    assert [plain(line[0]) for line in table.rows] == ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    assert plain(table.rows[0][3]) == "1.6, 2.2"


# ---- before the work ---------------------------------------------------------------------------------------------
def test_energy_table_has_what_the_standard_asks_of_a_procedure(sheet: Sheet) -> None:
    """29 CFR 1910.147(d)(1): type and magnitude of the energy, its hazards, the method to control it."""
    table = next(t for t in tables(sheet) if t.head[0] == "Source and kind")
    lines = {plain(line[0]): text(line) for line in table.rows}
    assert set(lines) == {
        "Pump casing: pressure",
        "Gland space: pressure",
        "Pump shaft: motion",
        "Coupling spring: stored energy",
    }
    for wanted in ("up to 9 bar(g)", "40 L", "toxic", "suction block valve", " shut; bleed between the discharge valves open", "to sump", "PI-7"):  # fmt: skip
        assert wanted in lines["Pump casing: pressure"]
    assert "motor breaker off" in lines["Pump shaft: motion"]
    assert "2 kN" in lines["Coupling spring: stored energy"]


def test_tear_off_list_holds_each_lock_and_blind(sheet: Sheet) -> None:
    table = next(t for t in tables(sheet) if t.title == "Devices, blinds and other temporary items")
    assert [plain(line[2]) for line in table.rows] == [
        "Motor breaker", "Suction block valve", "Discharge block valve", "Second discharge block valve",
        "Flush block valve", "Bleed between the discharge valves", "Blind (discharge flange)",
    ]  # fmt: skip
    assert [plain(line[3]) for line in table.rows] == ["Off", "Shut", "Shut", "Shut", "Shut", "Open", "Fitted"]
    assert all(not e.blank.required for e in entries(sheet) if e.owner is table)


def test_people_skill_and_time(sheet: Sheet) -> None:
    table = next(t for t in tables(sheet) if t.head[0] == "People")
    lines = [[plain(cell).replace("\u00a0", " ") for cell in line[:4]] for line in table.rows]
    assert lines[:2] == [["fitter", "2", "Trained on pumps", "5 min"], ["operator", "1", "", "15 min"]]


def test_parts_needed_new_say_why(sheet: Sheet) -> None:
    table = next(t for t in tables(sheet) if t.head[0] == "Parts")
    lines = {plain(line[0]): [plain(cell) for cell in line[1:4]] for line in table.rows}
    assert lines["Cover gasket"] == ["2", "G-40", "always"]
    assert lines["Mechanical seal"] == ["1", "MS-9", f"if rejected at {steps(sheet)['check.face-look'].number}"]
    others = next(t for t in tables(sheet) if t.head[0].startswith("Other tools"))
    assert "Blind (discharge flange), fitted for the job" in text(others)


def test_name_plate_comes_first_and_a_unit_gives_its_tags(procedure: Procedure) -> None:
    unit = procedure.equipment.units[0]
    built = build_sheet(procedure, SOUR, unit=unit, source_hash="0")
    assert built.name_plate
    assert [value for _, value, _ in built.name_plate.rows] == ["P-7", "Small frame", "Sour water", "88-12"]
    lock = next(row for key, row in steps(built).items() if key.startswith("lock."))
    assert [(device.tag, device.position) for device in lock.isolators][:2] == [("Q-7", "locked off"), ("V-701", "locked shut")]  # fmt: skip
    assert all(device.tick and device.lock and device.initials for device in lock.isolators)


def test_conditions_and_permits_or_an_explicit_none(procedure: Procedure, tmp_path: Path) -> None:
    assert "Permit: permit to work" in text(build_sheet(procedure, SOUR, source_hash="0"))
    head = HEAD.replace('  condition "The spare pump runs."\n  permit "Permit to work"\n', "")
    bare = text(build_sheet(sample(tmp_path, head=head), SOUR, source_hash="0"))
    assert "Conditions: none." in bare
    assert "Permits: none asked for by this procedure." in bare


def test_building_needs_no_word_and_no_picture_library() -> None:
    program = (
        "import sys, procforge.sheet.build; print(sorted({'docx', 'lxml', 'graphviz', 'lark'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True, cwd=ROOT)
    assert done.stdout.strip() == "[]"


def test_the_usual_cautions_are_on_the_sheet(sheet: Sheet) -> None:
    assert "maker's manual" in sheet.labels.caution_line
    assert "Check the revision" in sheet.labels.check_revision
    assert "stop" in sheet.labels.name_plate_stop


def test_close_out_has_tasks_parts_remarks_and_signatures(sheet: Sheet) -> None:
    said = text(sheet)
    assert {"close/as-left", "close/deviations", "close/remarks"} <= set(ids(sheet))
    for wanted in ("Hand the permit back.", "Parts used", "Work done", "Taken back into service", "Keep the completed sheet"):  # fmt: skip
        assert wanted in said
    assert "Mechanical seal: face look" in said
