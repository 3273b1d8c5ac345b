"""The bolt picture: every bolt and every turn once, told apart, the order the published one, inside its frame."""

from __future__ import annotations

import math
import re

import pytest
from drawing_checks import crossed, faults

from procforge.engineering.patterns import PUBLISHED
from procforge.sheet.bolts import FEWEST, MOST, bolt_drawing, grouped, order_of, ordinal, where_first
from procforge.sheet.drawing import Circle, Drawing, Rect, Text
from procforge.sheet.labels import Labels

LABELS = Labels()
LAST = "Pass 4: each bolt in turn round the joint, clockwise, until no bolt turns."
COUNTS = range(FEWEST, MOST + 1)


def picture(count: int, **more: str) -> Drawing:
    return bolt_drawing(order_of(count), "bolt", "passes 1 to 3", LAST, LABELS, **more)


def middle_of(text: Text) -> tuple[float, float]:
    left, top, right, _ = text.box
    return ((left + right) / 2, (top + text.y) / 2)


def bolts(drawing: Drawing) -> dict[int, tuple[float, float]]:
    """Number to place: the plain numbers that stand inside a circle, the legend's own apart."""
    found: dict[int, tuple[float, float]] = {}
    circles = [shape for shape in drawing.shapes if isinstance(shape, Circle) and shape.radius < 5]
    legend = max(circle.x for circle in circles)
    for text in drawing.texts():
        if text.text.isdigit():
            inside = [c for c in circles if math.dist((c.x, c.y), middle_of(text)) < 0.2]
            assert len(inside) == 1, text
            assert max(abs(text.box[0] - inside[0].x), abs(text.box[2] - inside[0].x)) < inside[0].radius - 0.3
            if inside[0].x < legend:
                assert int(text.text) not in found, text
                found[int(text.text)] = (inside[0].x, inside[0].y)
    return found


def turns(drawing: Drawing) -> dict[int, tuple[float, float]]:
    """Turn to place: the ordinals that stand on a dark tag, the legend's own apart."""
    tags = [shape for shape in drawing.shapes if isinstance(shape, Rect)]
    found: dict[int, tuple[float, float]] = {}
    ordinals = [text for text in drawing.texts() if re.fullmatch(r"\d+(st|nd|rd|th)", text.text)]
    legend = max(text.x for text in ordinals)
    for text in ordinals:
        left, top, right, bottom = text.box
        assert any(t.x < left and right < t.x + t.width and t.y < top and bottom < t.y + t.height + 0.4 for t in tags)
        if text.x < legend:
            turn = int(re.sub(r"\D", "", text.text))
            assert turn not in found
            found[turn] = middle_of(text)
    return found


@pytest.mark.parametrize("count", COUNTS)
def test_nothing_is_cut_or_overlaps(count: int) -> None:
    drawing = picture(count)
    assert faults(drawing) == []
    assert crossed(drawing) == []
    tags = [shape.box for shape in drawing.shapes if isinstance(shape, Rect)]
    rounds = [shape for shape in drawing.shapes if isinstance(shape, Circle) and shape.radius < 5]
    for at, box in enumerate(tags):
        for other in tags[at + 1 :]:
            assert box[2] <= other[0] or other[2] <= box[0] or box[3] <= other[1] or other[3] <= box[1], count
        for circle in rounds:
            near = (min(max(circle.x, box[0]), box[2]), min(max(circle.y, box[1]), box[3]))
            assert math.dist(near, (circle.x, circle.y)) > circle.radius, count
    for at, one in enumerate(rounds):
        for other in rounds[at + 1 :]:
            assert math.dist((one.x, one.y), (other.x, other.y)) > one.radius + other.radius + 0.5, count


@pytest.mark.parametrize("count", COUNTS)
def test_each_bolt_and_each_turn_stands_there_once(count: int) -> None:
    drawing = picture(count)
    placed, told = bolts(drawing), turns(drawing)
    assert sorted(placed) == sorted(told) == list(range(1, count + 1))
    for turn, where in told.items():  # each tag is beside the bolt whose turn it is, and beside no other
        nearest = min(placed, key=lambda number: math.dist(placed[number], where))
        assert nearest == order_of(count)[turn - 1]
    # further out than every bolt: a number inside is a bolt, one outside a turn
    x, y = (sum(p[at] for p in placed.values()) / count for at in (0, 1))
    assert min(math.dist((x, y), p) for p in told.values()) > max(math.dist((x, y), p) for p in placed.values()) + 3


@pytest.mark.parametrize("count", COUNTS)
def test_bolts_are_counted_clockwise_from_the_top(count: int) -> None:
    placed = bolts(picture(count))
    x, y = (sum(p[at] for p in placed.values()) / count for at in (0, 1))
    angles = [math.atan2(placed[n][0] - x, y - placed[n][1]) % (2 * math.pi) for n in range(1, count + 1)]
    assert [(a + 0.01) % (2 * math.pi) for a in angles] == sorted((a + 0.01) % (2 * math.pi) for a in angles)
    assert placed[1][1] == pytest.approx(min(p[1] for p in placed.values()), abs=0.01)  # none is higher
    assert placed[1][0] >= x - 0.01


def test_the_order_is_the_published_one() -> None:
    """ASME PCC-1 table 4, at second hand: see `procforge.engineering.patterns`, whose tests hold the tables."""
    for count in (8, 12, 16, 24):
        told = turns(picture(count))
        placed = bolts(picture(count))
        read = [min(placed, key=lambda n: math.dist(placed[n], told[turn])) for turn in range(1, count + 1)]
        assert tuple(read) == PUBLISHED[count][0]


def test_the_legend_and_the_words_say_the_rest() -> None:
    drawing = picture(12)
    said = " ".join(text.text for text in drawing.texts()).replace("\u00a0", " ")
    assert where_first("bolt", LABELS).replace("\u00a0", " ") in said
    assert LAST in said
    assert "first bolt 1, then bolt 7, then bolt 4, then bolt 10, and so on" in said
    assert grouped(order_of(12)) in drawing.alt
    assert LAST in drawing.alt and "12 bolts" in drawing.alt
    own = picture(12, first="beside the dowel pin.")
    assert "Bolt 1 is beside the dowel pin. Count clockwise" in own.alt.replace("\u00a0", " ")
    assert "at the top" not in own.alt


def test_no_last_pass_no_sign_of_one() -> None:
    drawing = bolt_drawing(order_of(8), "nut", "pass 1", "", LABELS)
    assert faults(drawing) == []
    assert "round" not in drawing.alt


@pytest.mark.parametrize(("number", "word"), [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (12, "12th"),
                                              (13, "13th"), (21, "21st"), (22, "22nd"), (23, "23rd"), (111, "111th")])  # fmt: skip
def test_ordinals(number: int, word: str) -> None:
    assert ordinal(number) == word
