"""The bolt picture of a torque step: the number of each bolt inside it, its turn outside the joint as an ordinal.

Number and turn differ in three ways (place, shape, `9` against `2nd`), so that neither can be taken for the other on
joints where they look alike. The order is that of `procforge.engineering.patterns`.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin

from procforge.engineering.patterns import Pattern, cross
from procforge.sheet.drawing import (
    MM_PT,
    Circle,
    Drawing,
    Polygon,
    Rect,
    Shape,
    Side,
    Text,
    Tone,
    arrow,
    leading,
    middle,
)
from procforge.sheet.english import in_turn, upper_first
from procforge.sheet.labels import Labels
from procforge.sheet.lettering import width, wrap

#: Fewer bolts need no picture; of more the numbers would be too small or the picture too large.
FEWEST, MOST = 4, 32
_WIDTH = 165.0
_BOLT = 3.6
_NUMBER_PT, _TURN_PT = 11.0, 9.5
_WORDS_PT, _FEW_PT = 10.0, 8.5  # of the legend, and where the circle leaves it little room
_TAG = 4.8  # height of the tag that holds a turn
_ICON = 12.0
_MOVES = 4  # so many first moves get an arrow


def order_of(count: int) -> tuple[int, ...]:
    """The crosswise order of so many bolts, numbered round the joint from 1; empty where there is none."""
    found = cross(count)
    return found.order if isinstance(found, Pattern) else ()


def ordinal(number: int) -> str:
    """`1st`, `22nd`, `13th`."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def where_first(noun: str, labels: Labels, first: str = "") -> str:
    """Which bolt is number 1, `first` if the machine file says it, and how the others are counted."""
    name = upper_first(noun)
    if first:
        told = [labels.bolt_first.format(bolt=name, where=first.strip().rstrip(".")), labels.bolt_count]
    else:
        told = [labels.bolt_first_top.format(bolt=name), labels.bolt_count, labels.bolt_flat.format(bolt=noun)]
    return " ".join(told).replace(" 1 ", "\u00a01 ")


def grouped(order: tuple[int, ...]) -> str:
    """An order as text, in groups of four: `1, 5, 3, 7; 2, 6, 4, 8`."""
    return "; ".join(", ".join(map(str, order[at : at + 4])) for at in range(0, len(order), 4))


def bolt_drawing(order: tuple[int, ...], noun: str, passes: str, last: str, labels: Labels, first: str = "") -> Drawing:
    """The bolts of a joint seen from outside, with a legend.

    `order` is a permutation of 1..n with `FEWEST` <= n <= `MOST`; `noun` what they are called ("bolt"); `passes` the
    passes that go in this order ("passes 1 to 3"), `last` what comes after them as a sentence, or nothing; `first` where
    bolt 1 is, if that is known.
    """
    count = len(order)
    tag = max(_across(turn) for turn in range(1, count + 1))
    radius = max(14.0, count * (2 * _BOLT + 1.3) / (2 * pi), count * (tag + 0.9) / (2 * pi) - _BOLT - 4.0)
    ring = radius + _BOLT + 1.4
    tags = [_beyond((0.0, 0.0), ring + 0.9, number, count, turn) for turn, number in enumerate(order, 1)]
    reach = (max(abs(x) for x, _ in tags) + tag / 2 + 0.3, max(abs(y) for _, y in tags) + _TAG / 2 + 0.3)
    where = where_first(noun, labels, first)
    entries = _entries(noun, order, passes, last, where, labels)
    left = 2 * reach[0] + 5.0
    size = _WORDS_PT if _WIDTH - left > 60 else _FEW_PT
    _, tall = _legend(entries, left, 0.0, size)
    height = max(2 * reach[1], tall) + 1.0
    shapes: list[Shape] = []
    at = (reach[0], height / 2)
    shapes += [
        Circle(*at, ring, Tone.PALE, 0.35, Tone.DARK),
        Circle(*at, radius - _BOLT - 2.0, Tone.WHITE, 0.25, Tone.MID),
    ]
    places = [_place(at, radius, number, count) for number in range(1, count + 1)]
    for before, after in pairwise(order[:_MOVES]):
        shapes += _move(places[before - 1], places[after - 1])
    for turn, number in enumerate(order, 1):
        x, y = places[number - 1]
        shapes.append(Circle(x, y, _BOLT, Tone.WHITE, 0.45))
        shapes.append(Text(x, y + middle(_NUMBER_PT), str(number), _NUMBER_PT, True, Side.MIDDLE))
        shapes += _turn((at[0] + tags[turn - 1][0], at[1] + tags[turn - 1][1]), turn)
    shapes += _legend(entries, left, (height - tall) / 2, size)[0]
    said = f" {last}" if last else ""
    alt = f"{count} {noun}s on a circle, seen from outside. {where} Order of {passes}: {grouped(order)}.{said}"
    return Drawing(_WIDTH, round(height, 2), tuple(shapes), alt)


def _place(centre: tuple[float, float], radius: float, number: int, count: int) -> tuple[float, float]:
    """Where a bolt is: clockwise from the top; four stand in the corners, as four mostly do."""
    angle = 2 * pi * (number - 1 + (0.5 if count == 4 else 0.0)) / count
    return (round(centre[0] + radius * sin(angle), 3), round(centre[1] - radius * cos(angle), 3))


def _beyond(centre: tuple[float, float], ring: float, number: int, count: int, turn: int) -> tuple[float, float]:
    """The middle of a bolt's tag: outward of the bolt, all of the tag outside the ring."""
    x, y = _place((0.0, 0.0), 1.0, number, count)
    across = _across(turn)
    out = ring + abs(x) * across / 2 + abs(y) * _TAG / 2
    return (round(centre[0] + x * out, 3), round(centre[1] + y * out, 3))


def _across(turn: int) -> float:
    """The width of a tag in mm."""
    return width(ordinal(turn), _TURN_PT, bold=True) * MM_PT + 2.0


def _turn(at: tuple[float, float], turn: int) -> list[Shape]:
    """A dark tag with an ordinal, its middle at a point."""
    text, across = ordinal(turn), _across(turn)
    tag = Rect(at[0] - across / 2, at[1] - _TAG / 2, across, _TAG, Tone.DARK, 0.0, Tone.DARK, 0.9)
    return [tag, Text(at[0], at[1] + middle(_TURN_PT), text, _TURN_PT, True, Side.MIDDLE, Tone.WHITE)]


def _move(start: tuple[float, float], end: tuple[float, float]) -> tuple[Shape, ...]:
    """An arrow from the edge of one bolt to the edge of another."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5
    gap = (_BOLT + 0.6) / length
    ends = (start[0] + dx * gap, start[1] + dy * gap, end[0] - dx * gap, end[1] - dy * gap)
    return arrow(*ends, tone=Tone.MID, stroke=0.3)


def _entries(
    noun: str, order: tuple[int, ...], passes: str, last: str, where: str, labels: Labels
) -> list[tuple[str, str]]:
    """What the signs mean: each with its icon."""
    bolts = in_turn([f"{noun}\u00a0{number}" for number in order[:_MOVES]])
    turn = labels.bolt_turn if len(order) > _MOVES else labels.bolt_turn_all
    entries = [
        ("number", f"{labels.bolt_number.format(bolt=noun)} {where}"),
        ("turn", turn.format(passes=passes, bolts=bolts)),
    ]
    return entries + ([("round", last)] if last else [])


def _legend(entries: list[tuple[str, str]], left: float, top: float, size: float) -> tuple[list[Shape], float]:
    """Icons with their lines, from a corner to the right edge; and their height."""
    shapes: list[Shape] = []
    room = (_WIDTH - left - _ICON - 1.0) / MM_PT
    y = top
    for at, (icon, words) in enumerate(entries):
        lines = wrap(words, room, size)
        x, mid = left + _ICON / 2 - 1.0, y + 4.0
        if icon == "number":
            shapes.append(Circle(x, mid, _BOLT, Tone.WHITE, 0.45))
            shapes.append(Text(x, mid + middle(_NUMBER_PT), "1", _NUMBER_PT, True, Side.MIDDLE))
        elif icon == "turn":
            shapes += _turn((x, mid), 1)
        else:
            shapes += _round(x, mid)
        for line_at, line in enumerate(lines):
            base = mid + middle(size) + line_at * leading(size)
            shapes.append(Text(left + _ICON, round(base, 3), line, size))
        y += max(8.0, 4.0 + leading(size) * len(lines)) + (2.0 if at < len(entries) - 1 else 0.0)
    return shapes, y - top


def _round(x: float, y: float) -> list[Shape]:
    """A small arrow that runs clockwise."""
    points = tuple((x + 3 * sin(0.35 + step * 0.3), y - 3 * cos(0.35 + step * 0.3)) for step in range(17))
    end, before = points[-1], points[-4]
    head = arrow(*before, end[0] + 0.3, end[1] - 1.2, tone=Tone.DARK)[1]
    return [Polygon(points, None, 0.4, Tone.DARK, closed=False), head]
