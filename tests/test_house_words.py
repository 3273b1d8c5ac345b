"""What a finding of a house rule asks for, and how long it leaves for it."""

from __future__ import annotations

import shutil
from pathlib import Path

from procforge.model.procedure import HouseRule
from procforge.rules.wording import house_words, work_words
from procforge.stages import check_paths

SHARED = Path(__file__).parent / "pages" / "shared"

EVERY = HouseRule.make(text="Gas-free again", form="every", first=("open", "drum"), answer=("purge", "drum"))


def test_what_must_follow_has_until_the_end_when_nothing_else_is_said() -> None:
    assert house_words(EVERY) == {
        "house": "Gas-free again",
        "asked": "after open drum must come purge drum, in time for the end of the job",
        "do": "do what must follow",
    }


def test_what_must_follow_has_until_the_step_that_is_said() -> None:
    rule = EVERY.but(then=("start", "pump"), because="air and gas burn")
    assert (
        house_words(rule)["asked"] == "after open drum must come purge drum, in time for start pump. air and gas burn"
    )


def test_a_fault_at_the_end_is_put_at_the_end_of_the_job() -> None:
    assert work_words(None) == "end of the job"


def test_the_way_to_a_broken_house_rule_is_told_in_its_events(tmp_path: Path) -> None:
    shutil.copy(SHARED / "a-head.equip", tmp_path)
    job = tmp_path / "a-head.proc"
    rule = 'house rule "Vent": vent head after every fit cover, before leak-test head\n'
    text = (SHARED / "a-head.proc").read_text(encoding="utf-8")
    job.write_text(text.replace("before starting none\n", f"before starting none\n{rule}"), encoding="utf-8")
    (found,) = check_paths([job])
    assert found.rule == "house-rule-broken"
    told = {beat.text: beat.state for beat in found.path if beat.state and not beat.skipped}
    assert told["step fit cover by fitter"] == "vent head is still to come"
    assert told["step leak-test head by fitter"] == "vent head is still to come"
