"""The rows of the field sheet: what each kind of step prints and records, and where every way leads."""

from __future__ import annotations

from pathlib import Path

import pytest
from sheet_samples import CLEAN, HEAD, SOUR, ids, rows, sample, steps, text

from procforge.analysis.proof import prove
from procforge.model.procedure import Procedure, Repeat
from procforge.model.tree import walk
from procforge.sheet.build import build_sheet
from procforge.sheet.outline import (
    Arm,
    BlankKind,
    GroupHead,
    GroupKind,
    HazardPanel,
    HoldBar,
    HoldKind,
    RoundHead,
    Sheet,
    StopRow,
    WhereWeAre,
    plain,
)

ROOT = Path(__file__).parent.parent
SHIPPED = sorted((ROOT / "procedures").rglob("*.proc"))


@pytest.fixture(scope="module")
def procedure(tmp_path_factory: pytest.TempPathFactory) -> Procedure:
    return sample(tmp_path_factory.mktemp("sheet"))


@pytest.fixture(scope="module")
def sheet(procedure: Procedure) -> Sheet:
    """The sample for the small frame on sour water."""
    return build_sheet(procedure, SOUR, source_hash="ab" * 32)


# ---- steps -------------------------------------------------------------------------------------------------------
def test_proof_has_its_gauge_limit_and_initials(sheet: Sheet) -> None:
    row = steps(sheet)["prove.casing"]
    reading = next(blank for blank in row.blanks if blank.kind is BlankKind.READING)
    assert (reading.low, reading.high, reading.unit) == ("0", "0.04", "bar(g)")
    assert row.initials
    assert {blank.kind for blank in row.blanks} >= {BlankKind.SERIAL, BlankKind.DATE}
    assert "open nothing" in text(row.details)
    assert [text(line) for line in row.instruction][1:] == [
        "See that the root valve is open.",
        "Read the casing gauge (PI-7).",
    ]


def test_torque_passes_are_computed_and_end_round_the_joint(sheet: Sheet) -> None:
    """30, 70 and 100 % of 120 N·m by hand; rising passes and a last one round the joint: ASME PCC-1 (from memory)."""
    row = next(row for key, row in steps(sheet).items() if key.startswith("tighten.cover-nuts"))
    assert row.torque
    values = [plain(one.torque).replace("\u00a0", " ") for one in row.torque.passes]
    assert values == ["36 N·m", "84 N·m", "120 N·m", "120 N·m"]
    assert "round the joint" in row.torque.passes[-1].order
    last = row.torque.passes[-1].reading
    assert last
    assert (last.low, last.high) == ("114", "126")
    assert plain(row.torque.target).replace("\u00a0", " ") == "120 N·m ± 5 % (114 N·m to 126 N·m)"
    assert row.torque.lubricant == "oil on threads and nut faces"
    assert [blank.kind for blank in row.torque.blanks] == [BlankKind.SERIAL, BlankKind.DATE]
    again = next(row for key, row in steps(sheet).items() if key.startswith("retighten.cover-nuts")).torque
    assert again
    assert [(one.level, plain(one.torque)) for one in again.passes] == [("100\u00a0%", "120\u00a0N·m")]
    one_screw = next(row for key, row in steps(sheet).items() if key.startswith("tighten.gland-screw")).torque
    assert one_screw
    assert len(one_screw.passes) == 1


def test_a_looked_up_torque_is_entered_and_signed(sheet: Sheet) -> None:
    record = next(row for key, row in steps(sheet).items() if key.startswith("tighten.foot-bolts")).torque
    assert record
    assert record.blanks[0].id.endswith("/value")
    assert record.blanks[1].kind is BlankKind.INITIALS
    assert "skid maker's manual" in text(record.data)


def test_lifting_look_alikes_way_up_and_spent_seals_are_said(sheet: Sheet) -> None:
    """23 kg: load constant of the NIOSH lifting equation (from memory)."""
    assert "31 kg. Lift with an aid." in text(steps(sheet)["remove.cover-nuts+cover"])
    assert "Mass of the mechanical seal: 2 kg." in text(steps(sheet)["remove.mech-seal"])
    assert "aid" not in text(steps(sheet)["remove.mech-seal"])
    assert "looks like the seal sleeve" in text(steps(sheet)["remove.mech-seal"])
    assert "Scrap the old cover gasket at the drive end" in text(steps(sheet)["remove.cover-gasket"])
    assert "Scrap" not in text(steps(sheet)["remove.cover-nuts+cover"])  # said once, where it comes out
    assert "Way up of the end cover at the drive end: lug at the top." in text(steps(sheet)["fit.cover+cover-nuts"])


def test_a_result_nobody_reads_says_what_to_do(sheet: Sheet) -> None:
    assert "let the pressure down first" in text(steps(sheet)["leak-test.casing"])
    assert "If it moves" in text(steps(sheet)["try-start.motor"])
    assert "outside the limit" in text(steps(sheet)["measure.wear"])
    gas = steps(sheet)["gas"]  # read by a decision: asks for the result instead
    assert [blank.choices for blank in gas.blanks if blank.choices] == [("passed", "failed")]
    assert "If the reading" not in text(gas)


def test_positions_are_words(sheet: Sheet) -> None:
    back = next(row for key, row in steps(sheet).items() if key.startswith("return."))
    assert [device.position for device in back.isolators] == ["shut", "open", "open", "open", "open", "on"]
    assert "normal" not in text(sheet)


# ---- ways --------------------------------------------------------------------------------------------------------
def goes(sheet: Sheet, key: str) -> str:
    return plain(next(row for row in rows(sheet) if isinstance(row, Arm) and row.key == key).goes).replace(
        "\u00a0", " "
    )


def test_arms_without_work_lead_to_the_next_step(sheet: Sheet) -> None:
    after = steps(sheet)["remove.cover-nuts+cover"].number
    assert goes(sheet, "ask/no") == f"Go on to step {after}."
    assert goes(sheet, "ask/yes") == ""


def test_rounds_have_blanks_of_their_own_and_end_in_a_decision(procedure: Procedure, sheet: Sheet) -> None:
    heads = [row for row in rows(sheet) if isinstance(row, RoundHead)]
    assert [(head.number, head.most) for head in heads] == [(1, 2), (2, 2), *((n, 7) for n in range(1, 6))]
    assert {"rebuild.cartridge", "rebuild.cartridge#2"} <= set(steps(sheet))
    assert steps(sheet)["rebuild.cartridge#2"].number == steps(sheet)["rebuild.cartridge"].number + "/2"
    first = next(w for w in walk(procedure.body) if isinstance(w, Repeat))
    assert goes(sheet, f"{first.id}.end/rejected") == "Go on to round 2."
    align = steps(sheet)["align.cartridge"].number
    assert goes(sheet, f"{first.id}.end/accepted") == f"Go on to step {align}."  # not into the next round
    assert goes(sheet, f"{first.id}.end#2/rejected") == ""
    assert "further copy" in goes(sheet, "repeat.rub-look.end#5/rejected")
    last = next(row for row in rows(sheet) if isinstance(row, Arm) and plain(row.text) == "in round 7:")
    stop = next(row for row in rows(sheet) if isinstance(row, StopRow) and "Seven rounds" in plain(row.text))
    assert rows(sheet).index(stop) == rows(sheet).index(last) + 1
    # accepted in any round leads past what the last rejection asks for
    clean = steps(sheet)["clean.seal-sleeve"].number
    for turn in ("", "#2", "#5"):
        assert goes(sheet, f"repeat.rub-look.end{turn}/accepted") == f"Go on to step {clean}."


def test_groups_are_told_apart(sheet: Sheet) -> None:
    kinds = [row.kind for row in rows(sheet) if isinstance(row, GroupHead)]
    assert kinds.count(GroupKind.ANY_ORDER) == kinds.count(GroupKind.TOGETHER) == 1
    assert kinds.count(GroupKind.LANE) == 2
    heads = " ".join(plain(row.text) for row in rows(sheet) if isinstance(row, GroupHead))
    for wanted in ("On the bench, the bearing cartridge.", "Wipe down.", "For the drive end:", "Lend-back"):
        assert wanted in heads
    assert [row.label for row in rows(sheet) if isinstance(row, Arm)].count("WAY B") == 1


def test_decisions_open_by_the_result_that_stands_written(sheet: Sheet) -> None:
    verdict = next(blank for blank in steps(sheet)["check.face-look"].blanks if blank.choices)
    arms = [row for row in rows(sheet) if isinstance(row, Arm) and (verdict.id, "rejected") in row.when]
    assert [arm.label for arm in arms] == ["REJECTED"]


def test_holds_are_signed_by_another(sheet: Sheet) -> None:
    bars = {row.number: row for row in rows(sheet) if isinstance(row, HoldBar)}
    assert {name: bar.kind for name, bar in bars.items()} == {"H1": HoldKind.HOLD, "W1": HoldKind.WITNESS, "R1": HoldKind.REVIEW}  # fmt: skip
    assert bars["H1"].blanks[0].other_than in ids(sheet)
    assert "the pump casing" in bars["H1"].text
    assert plain(bars["H1"].criterion) == "PI-7 reads zero."


def test_a_stop_says_whom_to_call_and_how_the_machine_stands(sheet: Sheet) -> None:
    stop = next(row for row in rows(sheet) if isinstance(row, StopRow) and row.key == "stop~2")
    assert plain(stop.text) == "Call the operator. A valve passes."
    for wanted in ("suction block valve shut", "motor breaker off", "Open: none", "Out of the machine: coupling guard", "cover nuts at the drive end"):  # fmt: skip
        assert wanted in stop.call
    assert "lantern" not in stop.call  # never touched


def test_stopping_place_and_handover_tell_the_state(procedure: Procedure) -> None:
    built = build_sheet(procedure, SOUR, source_hash="0", proof=prove(procedure, (SOUR, CLEAN)))
    page = next(block for block in built.blocks if isinstance(block, WhereWeAre))
    state = {name: plain(words) for name, words in page.state}
    assert page.own_page
    assert state["Open"] == "Pump casing."
    assert "end cover at the drive end" in state["Out of the machine"].lower()
    assert state["Fitted for the job"] == "Blind (discharge flange)."
    row = next(row for row in rows(built) if isinstance(row, WhereWeAre))
    assert row.title == "handover to operator"
    leaves, takes = row.blanks[:2]
    assert takes.other_than == leaves.id


def test_a_wait_has_its_clock_and_its_end(sheet: Sheet) -> None:
    row = steps(sheet)["wait"]
    assert text(row.instruction) == f"Wait 10 min after step {steps(sheet)['vent.casing'].number}, vent pump casing. Go on within 2 h."  # fmt: skip
    assert [blank.kind for blank in row.blanks] == [BlankKind.TIME, BlankKind.TIME]
    assert "more than 2 h" in text(row.details)


def test_a_called_procedure_is_a_step_with_its_record(tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (tmp_path / "wash.proc").write_text(
        HEAD.replace("PMP-M-001", "PMP-M-002").replace("Service the pump", "Wash the pump")
        + 'section "Wash"\nstep clean casing with wipes\n',
        encoding="utf-8",
    )
    built = build_sheet(sample(tmp_path, 'section "All"\ndo "wash.proc"\n'), SOUR, source_hash="0")
    row = next(row for row in steps(built).values() if row.key.startswith("do."))
    assert text(row.instruction[0]) == "Do procedure PMP-M-002, “Wash the pump”."
    assert "Revision C." in text(row.details)
    assert [blank.label for blank in row.blanks] == ["Number of its record", "Revision used"]


def test_a_picture_stands_at_its_step_and_a_missing_one_is_named(tmp_path: Path) -> None:
    from word_sample_steps import png

    (tmp_path / "cover.png").write_bytes(png(20, 20))
    body = 'section "All"\nstep clean casing\n  figure "cover.png" "The cover"\n  figure "gone.png" "The rest"\n'
    built = build_sheet(sample(tmp_path, body), SOUR, source_hash="0")
    assert [figure.alt for figure in steps(built)["clean.casing"].figures] == ["The cover"]
    assert "See figure gone.png: The rest." in text(built)


def test_panels_hold_no_work(sheet: Sheet) -> None:
    assert not any(list(entries_of(panel)) for row in steps(sheet).values() for panel in row.hazards)
    assert not any(isinstance(row, HazardPanel) and row.anchor for row in rows(sheet))


def entries_of(panel: HazardPanel) -> list[object]:
    from procforge.sheet.walk import blanks_in

    return list(blanks_in(panel))


def told(sheet: Sheet) -> list[str]:
    """What each `notify` says."""
    return [text(row.instruction) for key, row in steps(sheet).items() if key.startswith("notify.")]


def test_people_are_told_what_comes(sheet: Sheet, tmp_path: Path) -> None:
    assert told(sheet) == [
        "Tell the control room that the skid will be shut down for this work.",
        "Tell the control room that the locks are off and the skid will be started.",
    ]
    body = 'section "All"\nstep notify control-room\nstep isolate breaker\nstep lock breaker\nstep notify night-shift\nstep unlock breaker\nstep notify control-room\n'
    assert told(build_sheet(sample(tmp_path, body), SOUR, source_hash="0")) == [
        "Tell the control room that the transfer pump skid will be isolated for this work.",
        "Tell the night shift.",
        "Tell the control room that the locks are off and the transfer pump skid goes back into service.",
    ]
