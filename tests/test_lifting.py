"""Lifting by hand and with an aid."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.engineering.base import Outside, Result
from procforge.engineering.figures import quantity
from procforge.engineering.lifting import Lift, hand_limit, judge_lift


def judged(mass: float, people: int, rating: float | None = None, tackle: float = 0.0) -> Lift:
    found = judge_lift(mass, people, rating, tackle)
    assert isinstance(found, Lift), found
    return found


# NIOSH lifting equation, load constant 23 kg (from memory), also printed as 51 lb; teams: HSE L23 (from memory)
@pytest.mark.parametrize(("people", "kilograms"), [(1, 23), (2, 23 * 4 / 3), (3, 23 * 3 / 2)])
def test_hand_limits(people: int, kilograms: float) -> None:
    found = hand_limit(people)
    assert isinstance(found, Result)
    assert found.value == pytest.approx(kilograms)
    assert "NIOSH" in found.source and ("HSE" in found.source) == (people > 1)
    if people == 1:
        pounds = pint.UnitRegistry().Quantity(found.value, "kg").to("lb").magnitude
        assert round(pounds) == 51
        assert str(quantity(found, "lb", 2)) == "51 lb"


@pytest.mark.parametrize(
    ("mass", "people", "rating", "way", "kinds"),
    [
        (12, 1, None, "by hand", []),
        (23, 1, None, "by hand", []),
        (23.1, 1, None, "with an aid", ["lifting-aid-missing"]),
        (30, 2, None, "by hand", []),
        (31, 2, None, "with an aid", ["lifting-aid-missing"]),
        (34, 3, None, "by hand", []),
        (85, 2, 250, "with an aid", []),
        (85, 2, 85, "with an aid", []),
        (85, 2, 80, "with an aid", ["lifting-aid-too-small"]),
        (10, 1, 5, "with an aid", ["lifting-aid-too-small"]),  # an aid that is named is used
        (500, 6, 1000, "with an aid", []),
    ],
)
def test_verdicts(mass: float, people: int, rating: float | None, way: str, kinds: list[str]) -> None:
    found = judged(mass, people, rating)
    assert (found.way, [fault.kind for fault in found.faults]) == (way, kinds)


def test_tackle_hangs_on_the_aid_too() -> None:
    assert judged(245, 2, 250).faults == ()
    (fault,) = judged(245, 2, 250, tackle=8).faults
    assert fault.message == "253 kg with its tackle is more than the rating of the lifting aid, 250 kg"


def test_words_and_own_limit() -> None:
    (fault,) = judged(85, 2).faults
    assert fault.message == "85 kg is more than 2 people may lift by hand, 30.7 kg"
    assert "more people" in fault.hint
    site = judge_lift(18, 1, one=15)
    assert isinstance(site, Lift) and site.faults and site.hand_limit.source == "as stated"


@pytest.mark.parametrize(
    ("mass", "people", "rating", "tackle"),
    [(-5, 1, None, 0), (0, 1, None, 0), (math.nan, 1, None, 0), (20, 0, None, 0), (20, 0, 100, 0), (20, 4, None, 0),
     (20, -1, None, 0), (20, 1, 0, 0), (20, 1, math.inf, 0), (20, 1, 100, -1), (1e9, 1, None, 0)],
)  # fmt: skip
def test_refusals(mass: float, people: int, rating: float | None, tackle: float) -> None:
    found = judge_lift(mass, people, rating, tackle)
    assert isinstance(found, Outside)
    assert found.message


@given(st.floats(0.01, 1e5), st.integers(1, 3), st.floats(0.01, 1e5) | st.none())
def test_more_people_and_more_rating_never_make_it_worse(mass: float, people: int, rating: float | None) -> None:
    found = judged(mass, people, rating)
    if people < 3:
        assert len(judged(mass, people + 1, rating).faults) <= len(found.faults)
    if rating is not None:
        assert len(judged(mass, people, rating * 2).faults) <= len(found.faults)
        assert bool(found.faults) == (mass > rating * (1 + 1e-9))
