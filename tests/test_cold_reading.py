"""What an approver stumbled on when he read the shipped sheets cold: each kind of slip, looked for in all of them."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from sheet_samples import CLEAN, SOUR, rows, sample, steps, text

from procforge.analysis.machine import Machine
from procforge.model.base import Variant
from procforge.model.equipment import State, Unit
from procforge.model.procedure import Check, Measure, Procedure, Step
from procforge.model.tree import walk
from procforge.resolve.load import Library
from procforge.sheet.build import build_sheet
from procforge.sheet.conditions import conditions
from procforge.sheet.job import Job
from procforge.sheet.labels import Labels
from procforge.sheet.naming import Names
from procforge.sheet.outline import (
    AcceptanceTable,
    CloseOut,
    DecisionHead,
    KeyValues,
    Sheet,
    StopRow,
    WhereWeAre,
    plain,
)
from procforge.sheet.profile import Profile
from procforge.stages import Checked, check_file

ROOT = Path(__file__).parent.parent
SHIPPED = sorted((ROOT / "procedures").rglob("*.proc"))
BOOSTER = ROOT / "procedures/booster/valve-service.proc"
POT = ROOT / "procedures/two-jobs"


@cache
def checked(file: Path) -> Checked:
    return check_file(Library(), file)


def made(file: Path, variant: Variant | None = None, unit: Unit | None = None) -> Sheet:
    case = checked(file).case
    assert case is not None
    return build_sheet(case.procedure, variant or case.variants[0], unit=unit, source_hash="0", proof=case.proof)


def sheets() -> list[tuple[str, Sheet]]:
    """Every shipped procedure on every variant."""
    found = []
    for file in SHIPPED:
        case = checked(file).case
        assert case is not None
        found += [(f"{file.stem}, {v.name}", made(file, v)) for v in case.variants]
    return found


def said(row: object) -> list[str]:
    """The lines of a step, spaces folded."""
    lines = (*row.instruction, *row.details)  # type: ignore[attr-defined]
    return [" ".join(plain(line).split()) for line in lines]


def content(line: str) -> set[str]:
    """The words of a sentence that carry its meaning."""
    small = {"the", "a", "an", "of", "to", "and", "at", "is", "it", "in", "on", "with", "for", "after", "then"}
    return set(re.findall(r"[\w-]+", line.lower())) - small


def test_no_step_says_one_thing_twice() -> None:
    for name, sheet in sheets():
        for row in steps(sheet).values():
            told = [line for line in said(row) if not line.startswith("Way up of")]  # each of another part
            parts = [content(part) for line in told for part in re.split(r"(?<=\.) ", line)]
            lines = [part for part in parts if len(part) > 2]
            for at, one in enumerate(lines):
                assert not any(one <= other or other <= one for other in lines[at + 1 :]), (name, row.number, said(row))


def test_no_stop_says_one_thing_twice() -> None:
    for name, sheet in sheets():
        for row in rows(sheet):
            if isinstance(row, StopRow):
                whole = f"{plain(row.text)} {row.call}"
                assert len(re.findall(r"(?:Leave|Keep) (?:the|all|every) locks? on\.", whole)) == 1, (name, whole)


def test_no_broken_sentence_is_printed() -> None:
    for name, sheet in sheets():
        for row in steps(sheet).values():
            for line in said(row):
                assert not re.search(r"\bDo it that\b|\bwith clip with\b", line), (name, line)


def test_people_are_told_in_two_sentences_where_one_is_too_long() -> None:
    told = [
        said(row)
        for row in steps(made(ROOT / "procedures/flange/flange-gasket.proc")).values()
        if row.key.startswith("notify")
    ]
    assert told[-1][:2] == ["Tell the control room that the locks are off and the scrubber inlet header goes back into service.".replace("  ", " ")] or told[-1][1].startswith("Say that the locks are off")  # fmt: skip


def test_a_tool_stands_with_what_it_is_for() -> None:
    booster = steps(made(BOOSTER))
    guard = next(row for key, row in booster.items() if key.startswith("remove.guard-screws"))
    assert said(guard)[0] == "Remove the guard screws (6 × M8, class 8.8) with the ratchet wrench, then the belt guard."
    tightened = next(row for key, row in booster.items() if key.startswith("tighten.cover-nuts"))
    assert said(tightened)[0] == "Apply thread oil."
    assert "thread oil" not in said(tightened)[1]


def test_a_part_of_a_part_is_of_it_and_new_parts_share_their_place() -> None:
    row = next(row for key, row in steps(made(BOOSTER)).items() if "fit.plates" in key)
    assert said(row)[:2] == [
        "Fit new valve plates, then new plate springs.",
        "Fit the guard plate of the inlet valve.",
    ] or (said(row)[0] == "Fit new valve plates, then new plate springs, then the guard plate of the inlet valve.")
    assert {"Valve plates: stock no. BG-1311.", "Plate springs: stock no. BG-1312."} <= set(said(row))


def test_the_kind_of_part_that_differs_by_service_is_printed() -> None:
    """The two kinds look alike and both fit: facts of the machine file."""
    for service, kind in (("wet-gas", "liquid relief"), ("dry-gas", "plain")):
        sheet = made(BOOSTER, Variant.make(model="frame-S", service=service))
        row = next(row for key, row in steps(sheet).items() if key.startswith("fit.inlet-valve"))
        assert f"Kind: {kind}." in said(row)


def test_what_is_for_one_use_is_scrapped_where_it_comes_out_and_once() -> None:
    for name, sheet in sheets():
        scrap = [
            (row.key, line)
            for row in steps(sheet).values()
            for line in said(row)
            if line.startswith("Scrap the old ") and "one use" in line and "/" not in row.number
        ]
        repeated = {line for _, line in scrap if sum(line == other for _, other in scrap) > 1}
        assert not any("nose gasket" in line for line in repeated), name
    taken = next(row for key, row in steps(made(BOOSTER)).items() if "remove.centre-nut" in key)
    scrapped = "Scrap the old centre nut, plate springs and valve plates of the inlet valve: for one use only."
    assert [line for line in said(taken) if line.startswith("Scrap")] == [scrapped]


def test_a_new_part_is_taken_not_fitted_before_its_turn() -> None:
    """`renew` makes fit to be used; only a seal is put in place by it (the verb table)."""
    belts = next(row for key, row in steps(made(BOOSTER)).items() if key.startswith("renew.belt"))
    assert said(belts)[:2] == ["Take new drive belts.", "Scrap the old ones."]
    ring = next(row for key, row in steps(made(BOOSTER)).items() if key.startswith("renew.cover-ring"))
    assert said(ring)[0] == "Fit a new cover ring at the inlet pocket."


def test_unit_tags_stand_in_the_users_own_words() -> None:
    case = checked(BOOSTER).case
    assert case is not None
    unit = next(u for u in case.equipment.units if u.tag == "K-101")
    words = text(made(BOOSTER, case.variants[0], unit))
    assert "PI-111 and PI-112 both stay within" in words
    assert not re.search(r"\bPI-[12]\b", words)


def test_a_tag_is_put_in_once_even_where_tags_and_names_cross() -> None:
    case = checked(BOOSTER).case
    assert case is not None
    crossed = Unit.make(tag="K-9", tags={"PI-1": "PI-2", "PI-2": "PI-1"})
    names = Names(Machine(case.equipment, case.variants[0]), crossed)
    assert names.said("PI-1 then PI-2, not PI-11") == "PI-2 then PI-1, not PI-11"


def test_a_check_has_one_name_in_step_decision_and_close_out() -> None:
    heads = 0
    for name, sheet in sheets():
        words = text(sheet)
        for row in rows(sheet):
            if isinstance(row, DecisionHead) and plain(row.text).startswith("Result of the "):
                heads += 1
                check = plain(row.text).replace("\u00a0", " ").removeprefix("Result of the ").partition(" at step")[0]
                assert f"Do the {check}" in words, (name, row.text)
    assert heads > 50


def test_the_close_out_prints_labels_not_internal_names() -> None:
    for file in SHIPPED:
        case = checked(file).case
        assert case is not None
        sheet = made(file)
        judged = [row for block in sheet.blocks if isinstance(block, AcceptanceTable) for row in block.rows]
        works = {w.name: w for w in walk(case.procedure.body) if isinstance(w, Check | Measure)}
        printed = {plain(row.feature) for row in judged}
        for work in works.values():
            inner = work.name.replace("-", " ")
            words = work.label if isinstance(work, Measure) else work.title
            if words and inner.lower() not in words.lower():
                assert inner not in {feature.rpartition(": ")[2] for feature in printed}, (file, inner)
        for row in judged:  # a reading is accepted or not; only a part is reused
            assert row.verdict
            if isinstance(works.get(row.number), Measure):
                assert "reused" not in row.verdict.choices


def signed(file: Path) -> list[str]:
    close = next(b for b in made(file).blocks if isinstance(b, CloseOut))
    return [one.task for one in close.signatures]


def test_the_last_signature_fits_how_the_job_ends() -> None:
    labels = Labels()
    assert signed(POT / "make-safe.proc")[-1] == labels.handed_on  # its locks stay on
    assert signed(POT / "trap-service.proc")[-1] == labels.taken_back  # what it calls takes them off
    assert signed(BOOSTER)[-1] == labels.taken_back


def test_where_it_is_kept_is_said_once_and_how_it_ended_is_asked() -> None:
    for name, sheet in sheets():
        close = next(b for b in sheet.blocks if isinstance(b, CloseOut))
        tasks = [plain(line[0]) for table in close.tables if not isinstance(table, KeyValues) for line in table.rows]
        assert bool(close.kept) != any(task.startswith("Keep ") for task in tasks), name
        blanks = [blank for table in close.tables if isinstance(table, KeyValues) for _, blank in table.rows]
        assert any(getattr(blank, "id", "") == "close/ended" for blank in blanks), name


def test_where_we_are_parts_leaving_from_coming_back() -> None:
    page = next(b for b in made(BOOSTER).blocks if isinstance(b, WhereWeAre))
    state = [(name, plain(words)) for name, words in page.state]
    assert ("Before you leave", "Lay clean covers over the pockets.") in state
    assert next(plain(line) for line in page.come_back) == "Compare every lock with the lock-out list."


@pytest.fixture
def job(tmp_path: Path) -> Job:
    return Job.of(sample(tmp_path), SOUR, None, Labels(), Profile(), None)


@pytest.mark.parametrize(
    ("states", "wanted"),
    [
        ((("casing", "locked", False), ("casing", "relieved", False), ("casing", "gas-free", False)), ["The pump casing is locked, let down and free of gas."]),
        ((("casing", "told", False),), ["The people concerned have been told of the work on the pump casing."]),
        ((("casing", "air-free", True),), ["The pump casing may hold air."]),
        ((("casing", "untested", False),), ["The pump casing has not been leak-tested yet."]),
        ((("casing", "locked", True),), ["The locks are off the pump casing."]),
        ((("cap-screws", "torqued", False), ("casing", "proved", False)), ["The cap screws are tightened.", "The pump casing is proved."]),
    ],
)  # fmt: skip
def test_conditions_are_sentences(job: Job, states: tuple[tuple[str, str, bool], ...], wanted: list[str]) -> None:
    found = conditions(job, [State.make(name=n, state=s, negated=no) for n, s, no in states])
    assert found == wanted


def test_as_found_stands_with_what_is_measured_and_a_count_knows_its_number(tmp_path: Path) -> None:
    body = 'section "All"\nmeasure wear "wear of the seal sleeve" on seal-sleeve with feeler\n  as found\nstep count seal-sleeve, mech-seal\n'
    procedure: Procedure = sample(tmp_path, body)
    found = steps(build_sheet(procedure, CLEAN, source_hash="0"))
    assert said(found["measure.wear"])[0] == "Measure the wear of the seal sleeve as found with the feeler gauge."
    counted = next(row for key, row in found.items() if key.startswith("count."))
    assert plain(counted.expect) == "2"
    assert any(isinstance(w, Step) for w in walk(procedure.body))


def test_numbered_things_take_no_article(tmp_path: Path) -> None:
    machine = checked(ROOT / "procedures/packing/rod-packing.proc").case
    assert machine is not None
    names = Names(Machine(machine.equipment, machine.variants[0]))
    titled = {names.the(n) for n in names.machine.items if re.search(r"[a-z] \d$", names.plain(n))}
    assert titled
    assert not any(title.startswith("the ") for title in titled)
    filters = checked(ROOT / "procedures/filter/element-change.proc").case
    assert filters is not None
    names = Names(Machine(filters.equipment, filters.variants[0]))
    lettered = {names.the(n, tag=False) for n in names.machine.items if re.search(r"[a-z] [AB]$", names.plain(n))}
    assert "inlet block valve A" in lettered
    assert {title for title in lettered if title.startswith("the ")} == {t for t in lettered if " of " in t}


def test_a_hoist_stands_with_the_part_it_lifts() -> None:
    taken = steps(made(ROOT / "procedures/relief-valve/overhaul.proc")).values()
    line = next(line for row in taken for line in said(row) if line.startswith("Remove the bench clamps"))
    assert line == "Remove the bench clamps, then the relief valve with the chain hoist."


def test_nothing_without_a_torque_asks_for_a_wrench() -> None:
    for name, sheet in sheets():
        for row in steps(sheet).values():
            if row.torque and not row.torque.passes:
                assert not any("wrench" in blank.label.lower() for blank in row.torque.blanks), name
