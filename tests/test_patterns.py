"""Tightening orders against the published ones, and what every order must keep."""

from __future__ import annotations

import cmath
import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.engineering.base import Outside
from procforge.engineering.patterns import MOST_BOLTS, PUBLISHED, Pattern, Round, circular, cross, rounds

EVEN, ODD = range(2, 201, 2), range(1, 200, 2)


def order(count: int) -> tuple[int, ...]:
    found = cross(count)
    assert isinstance(found, Pattern), found
    return found.order


# ASME PCC-1: 8, 12, 16, 24 at second hand; 4, 20, 28, 32 from memory
CROSS = {
    4: "1 3 2 4",
    8: "1 5 3 7 2 6 4 8",
    12: "1 7 4 10 2 8 5 11 3 9 6 12",
    16: "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16",
    20: "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19",
    24: "1 13 7 19 4 16 10 22 2 14 8 20 5 17 11 23 3 15 9 21 6 18 12 24",
    28: "1 15 8 22 4 18 11 25 6 20 13 27 2 16 9 23 5 19 12 26 7 21 14 28 3 17 10 24",
    32: "1 17 9 25 5 21 13 29 3 19 11 27 7 23 15 31 2 18 10 26 6 22 14 30 4 20 12 28 8 24 16 32",
}


@pytest.mark.parametrize("count", CROSS)
def test_published(count: int) -> None:
    assert order(count) == tuple(map(int, CROSS[count].split()))
    assert set(PUBLISHED) == set(CROSS)
    found = cross(count)
    assert isinstance(found, Pattern) and found.published and "PCC-1" in found.source


def place(bolt: int, count: int) -> complex:
    """A bolt on the unit circle: the invariants are tested on positions, not on numbers."""
    return cmath.exp(2j * math.pi * (bolt - 1) / count)


@pytest.mark.parametrize("count", [*range(1, 61), 64, 68, 100, 199, 200, MOST_BOLTS])
def test_every_order_is_a_permutation(count: int) -> None:
    assert sorted(order(count)) == list(range(1, count + 1))
    assert order(count)[0] == 1
    ring = circular(count)
    assert isinstance(ring, Pattern) and ring.order == tuple(range(1, count + 1))


@pytest.mark.parametrize("count", EVEN)
def test_pairs_of_an_even_count_are_opposite(count: int) -> None:
    found = order(count)
    for first, second in zip(found[::2], found[1::2], strict=True):
        assert abs(place(first, count) + place(second, count)) < 1e-9  # the centroid is the centre


@pytest.mark.parametrize("count", range(4, 201, 4))
def test_blocks_of_four_are_squares(count: int) -> None:
    found = order(count)
    for at in range(0, count, 4):
        corners = sorted(cmath.phase(place(bolt, count)) % (2 * math.pi) for bolt in found[at : at + 4])
        sides = [b - a for a, b in pairwise([*corners, corners[0] + 2 * math.pi])]
        assert sides == pytest.approx([math.pi / 2] * 4)


@pytest.mark.parametrize("count", range(6, 201, 4))
def test_blocks_of_the_other_even_counts_are_as_square_as_they_can_be(count: int) -> None:
    # n = 4k + 2 has no two pairs at a right angle: the nearest is half a bolt spacing off. Every full block has it.
    found = order(count)
    for at in range(0, count - 2, 4):
        block = found[at : at + 4]
        off = abs(abs(cmath.phase(place(block[2], count) / place(block[0], count))) - math.pi / 2)
        assert off == pytest.approx(math.pi / count)


@pytest.mark.parametrize("count", range(12, 201, 4))
def test_the_second_block_lies_between_the_arms_of_the_first(count: int) -> None:
    # As the published ones do, but for 8 to 16 where there is little choice: the next square is turned well away.
    found = order(count)
    turn = abs(cmath.phase((place(found[4], count) / place(found[0], count)) ** 4)) / 4
    assert turn >= math.pi / 4 - 3 * math.pi / count - 1e-9


@pytest.mark.parametrize("count", ODD)
def test_an_odd_count_goes_to_the_nearest_opposite(count: int) -> None:
    # Recomputed from the words: from each bolt to the free one nearest to opposite, the first met of two equals.
    found, free = order(count), set(range(2, count + 1))
    for before, after in pairwise(found):
        distance = {bolt: abs(place(bolt, count) + place(before, count)) for bolt in free}
        assert distance[after] == pytest.approx(min(distance.values()), abs=1e-9)
        free.remove(after)


@pytest.mark.parametrize("count", range(3, 200, 2))
def test_what_can_hold_for_an_odd_count(count: int) -> None:
    # Opposite bolts there are none; each step is half a spacing from it, and any run stays balanced.
    found = order(count)
    for before, after in pairwise(found):
        assert abs(abs(cmath.phase(place(after, count) / place(before, count))) - math.pi) == pytest.approx(
            math.pi / count
        )
    for size in range(2, count, 2):
        pull = abs(sum(place(bolt, count) for bolt in found[:size]))
        assert pull <= 1 + 1e-9, (count, size)  # never more than one bolt's worth off centre


@pytest.mark.parametrize("count", [0, -1, -(10**9), MOST_BOLTS + 1, 10**9])
def test_no_such_joint(count: int) -> None:
    for found in (cross(count), circular(count), rounds(count, (100,))):
        assert isinstance(found, Outside)
        assert "no pattern" in found.message


def test_rounds_of_a_joint() -> None:
    found = rounds(8, (30, 70, 100), again_after=4 * 3600)
    assert not isinstance(found, Outside)
    assert [(one.percent, one.circular) for one in found] == [
        (30, False), (70, False), (100, False), (100, True), (100, True),
    ]  # fmt: skip
    assert all(one.order == order(8) for one in found[:3])
    assert all(one.order == (1, 2, 3, 4, 5, 6, 7, 8) for one in found[3:])
    assert [one.wait for one in found] == [0, 0, 0, 0, 14400]


def test_rounds_otherwise() -> None:
    ring = rounds(6, (50, 100), crosswise=False)
    assert not isinstance(ring, Outside)
    assert all(one.circular and one.order == (1, 2, 3, 4, 5, 6) for one in ring) and len(ring) == 3
    two = rounds(2, (100,))
    assert not isinstance(two, Outside) and [(one.order, one.circular) for one in two] == [
        ((1, 2), False),
        ((1, 2), True),
    ]
    single = rounds(1, (100,))
    assert single == (Round(Fraction(100), (1,), False, single[0].source),)  # type: ignore[index]
    for bad in ((), (70, 30, 100), (30, 70)):
        assert isinstance(rounds(8, bad), Outside)
    for wait in (0.0, -1.0, math.nan, math.inf):
        assert isinstance(rounds(8, (100,), again_after=wait), Outside)


@given(st.integers(1, 60), st.lists(st.integers(1, 99), max_size=4, unique=True).map(sorted))
def test_each_round_meets_each_bolt_once(count: int, percents: list[int]) -> None:
    found = rounds(count, (*percents, 100))
    assert not isinstance(found, Outside)
    assert all(sorted(one.order) == list(range(1, count + 1)) for one in found)
    assert [one.percent for one in found] == sorted(one.percent for one in found)
    assert len(found) == len(percents) + 1 + (count > 1)
