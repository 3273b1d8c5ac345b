"""What a finding of a house rule asks for, and how long it leaves for it."""

from __future__ import annotations

from procforge.model.procedure import HouseRule
from procforge.rules.wording import house_words, work_words

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
