"""Laying the rows of several variants over each other: a pure function, so its laws are tested on anything."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from procforge.model.base import Variant
from procforge.model.equipment import Equipment
from procforge.sheet.review_align import align, ways
from procforge.sheet.review_names import VariantNames

Sides = list[list[str]]
#: Any rows in any order, repeated ones too.
anything = st.lists(st.lists(st.sampled_from("abcdefg"), max_size=8), min_size=1, max_size=5)


@st.composite
def of_one_order(draw: st.DrawFn) -> Sides:
    """What variants are in truth: parts of one written order."""
    whole = [f"r{n}" for n in range(draw(st.integers(0, 12)))]
    count = draw(st.integers(1, 5))
    return [[row for row in whole if draw(st.booleans())] for _ in range(count)]


def side(found: tuple[object, ...], at: int) -> list[object]:
    return [row.items[at] for row in found if row.items[at] is not None]  # type: ignore[attr-defined]


@given(anything)
def test_every_row_of_every_variant_appears_once_in_its_order(sides: Sides) -> None:
    found = align(sides, lambda row: row)
    for at, rows in enumerate(sides):
        assert side(found, at) == rows
    assert all(row.having for row in found)


@given(anything)
def test_only_what_is_the_same_shares_a_row(sides: Sides) -> None:
    for row in align(sides, lambda row: row):
        assert len({item for item in row.items if item is not None}) == 1


@given(of_one_order())
def test_rows_of_one_written_order_stand_once(sides: Sides) -> None:
    found = align(sides, lambda row: row)
    assert max(Counter(row.first for row in found).values(), default=0) <= 1
    for row in found:
        assert row.having == tuple(at for at, rows in enumerate(sides) if row.first in rows)


@given(st.lists(st.sampled_from("abc"), max_size=8))
def test_one_variant_alone_is_as_it_was(rows: list[str]) -> None:
    found = align([rows], lambda row: row)
    assert [row.items for row in found] == [(row,) for row in rows]


def test_opposite_orders_keep_both_orders() -> None:
    found = align([["a", "b"], ["b", "a"]], lambda row: row)
    assert [row.first for row in found] in (["a", "b", "a"], ["b", "a", "b"])


def test_what_a_head_holds_is_complete_before_another_variants_next_head() -> None:
    one = [("head", 0), ("in one", 1), ("next of one", 0), ("last", 0)]
    two = [("head", 0), ("in two", 1), ("last", 0)]
    found = align([one, two], lambda row: row[0], lambda row: row[1])
    assert [row.first[0] for row in found] == ["head", "in one", "in two", "next of one", "last"]


@given(st.lists(st.integers(0, 3), min_size=1, max_size=8))
def test_ways_part_the_variants(items: list[int]) -> None:
    forms = ways(items).forms
    assert sorted(at for _, members in forms for at in members) == list(range(len(items)))
    assert all(items[at] == form for form, members in forms for at in members)
    assert ways(items).same == (len(set(items)) == 1)


def names(models: tuple[str, ...], services: tuple[str, ...], titles: dict[str, str] | None = None) -> VariantNames:
    equipment = Equipment.make(models=models, services=services, titles=titles or {})
    return VariantNames(equipment, equipment.variants)


def test_variants_are_named_by_what_they_share() -> None:
    four = names(
        ("s", "l"), ("wet", "dry"), {"s": "Frame S, 90 mm", "l": "Frame L, 120 mm", "wet": "Wet gas", "dry": "Dry gas"}
    )
    assert four.some([0, 1, 2, 3]) == ""
    assert four.some([0, 1]) == "Frame S"
    assert four.some([0, 2]) == "Wet gas"
    assert four.some([1, 2]) == "Frame S, dry gas; Frame L, wet gas"
    assert four.one(3) == "Frame L, dry gas"


def test_titles_that_do_not_tell_apart_are_not_used() -> None:
    two = names(("s", "l"), (), {"s": "Frame, small", "l": "Frame, large"})
    assert (two.one(0), two.one(1)) == ("s", "l")


@given(st.integers(1, 3), st.integers(1, 3), st.data())
def test_no_two_groups_of_variants_have_one_name(models: int, services: int, data: st.DataObject) -> None:
    made = names(tuple(f"m{n}" for n in range(models)), tuple(f"s{n}" for n in range(services)))
    every = range(len(made.variants))
    one = data.draw(st.sets(st.sampled_from(every), min_size=1))
    two = data.draw(st.sets(st.sampled_from(every), min_size=1))
    assert (made.some(sorted(one)) == made.some(sorted(two))) == (one == two)
    assert isinstance(made.variants[0], Variant)


def test_long_titles_give_way_to_the_declared_names() -> None:
    two = names(
        ("hpu-10", "hpu-32"), (), {"hpu-10": "Power unit with 10 L accumulator", "hpu-32": "Power unit with 32 L"}
    )
    assert (two.one(0), two.some([1])) == ("hpu-10", "hpu-32")
    assert two.whole(0) == "Power unit with 10 L accumulator"
