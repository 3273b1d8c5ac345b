"""The order in which the bolts of a joint are tightened, numbered round the circle from 1.

Published cross patterns where there is one; for other even counts a generator that keeps what the published ones
keep: each pair of places holds opposite bolts, each block of four a square, or as near to one as the count allows.
An odd count has no opposite bolts: each next bolt is the free one nearest to opposite.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from procforge.engineering.base import Outside
from procforge.engineering.figures import exact
from procforge.engineering.wrench import rising

MOST_BOLTS = 400

_SECOND_HAND = "ASME PCC-1-2013 table 4 (at second hand)"
_MEMORY = "ASME PCC-1-2013 table 4 (from memory)"

#: Count: (order, source).
PUBLISHED: dict[int, tuple[tuple[int, ...], str]] = {
    len(order.split()): (tuple(map(int, order.split())), source)
    for order, source in (
        ("1 3 2 4", _MEMORY),
        ("1 5 3 7 2 6 4 8", _SECOND_HAND),
        ("1 7 4 10 2 8 5 11 3 9 6 12", _SECOND_HAND),
        ("1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16", _SECOND_HAND),
        ("1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19", _MEMORY),
        ("1 13 7 19 4 16 10 22 2 14 8 20 5 17 11 23 3 15 9 21 6 18 12 24", _SECOND_HAND),
        ("1 15 8 22 4 18 11 25 6 20 13 27 2 16 9 23 5 19 12 26 7 21 14 28 3 17 10 24", _MEMORY),
        ("1 17 9 25 5 21 13 29 3 19 11 27 7 23 15 31 2 18 10 26 6 22 14 30 4 20 12 28 8 24 16 32", _MEMORY),
    )
}  # fmt: skip
GENERATED = "made for this count: opposite bolts in turn, blocks of four as near to a square as the count allows"
NEAREST_OPPOSITE = "an odd count has no opposite bolts: after each bolt the free one nearest to opposite"
ROUND = "round the joint, one after the other"


@dataclass(frozen=True, slots=True)
class Pattern:
    """An order of bolts (a permutation of 1..n) and where it comes from; `published` says whether a table holds it."""

    order: tuple[int, ...]
    source: str
    published: bool = False


@dataclass(frozen=True, slots=True)
class Round:
    """One time round the joint: the share of the torque in percent, the order, and words for the sheet.

    `circular` rounds go on until no nut turns. `wait` is the least time in s before the round, 0 for none.
    """

    percent: Fraction
    order: tuple[int, ...]
    circular: bool
    source: str
    wait: float = 0.0


def _count_fault(count: int) -> Outside | None:
    if 1 <= count <= MOST_BOLTS:
        return None
    return Outside(f"a joint of {count} bolts has no pattern", f"write 1 to {MOST_BOLTS} bolts")


def circular(count: int) -> Pattern | Outside:
    """1, 2, 3 … n."""
    return _count_fault(count) or Pattern(tuple(range(1, count + 1)), ROUND)


def cross(count: int) -> Pattern | Outside:
    """The cross pattern for a number of bolts."""
    if bad := _count_fault(count):
        return bad
    if count in PUBLISHED:
        order, source = PUBLISHED[count]
        return Pattern(order, source, published=True)
    if count % 2:
        return Pattern(_star(count), NEAREST_OPPOSITE)
    return Pattern(_pairs(count // 2), GENERATED)


def _star(count: int) -> tuple[int, ...]:
    """A step of (n − 1)/2 bolts each time: half a spacing short of opposite, and it meets every bolt once."""
    step = max(1, (count - 1) // 2)
    return tuple(place * step % count + 1 for place in range(count))


def _pairs(half: int) -> tuple[int, ...]:
    """Order for 2·half bolts, from the order of its `half` axes; an axis is a pair of opposite bolts."""
    if half % 2 == 0:
        blocks = [(axis, axis + half // 2) for axis in _spread(half // 2)]
        axes = [axis for block in blocks for axis in block]
    else:
        axes = _odd_axes(half)
    return tuple(bolt for axis in axes for bolt in (axis + 1, axis + half + 1))


def _odd_axes(half: int) -> list[int]:
    """Axes of an odd number of pairs: couples half a spacing off square, the one axis left over last."""
    step = half // 2
    return [axis for start in _spread(step) for axis in (start, start + step)] + [half - 1]


def _spread(count: int) -> list[int]:
    """0..count−1 on a circle, each next one as far as can be from those before; the lowest of equals."""
    order = [0] if count else []
    gaps = [min(at, count - at) for at in range(count)]
    while len(order) < count:
        far = max(range(count), key=lambda at: (gaps[at], -at))
        order.append(far)
        gaps = [min(gap, abs(at - far), count - abs(at - far)) for at, gap in enumerate(gaps)]
    return order


def rounds(
    count: int, percents: tuple[Fraction | float, ...], crosswise: bool = True, again_after: float | None = None
) -> tuple[Round, ...] | Outside:
    """Every round of a joint in order: each pass, then circular at 100 %, and one more after `again_after` seconds.

    Passes in percent, rising to 100. ASME PCC-1 (at second hand) lets the last be repeated after 4 h or more.
    """
    pattern = cross(count) if crosswise else circular(count)
    ring = circular(count)
    if isinstance(pattern, Outside):
        return pattern
    if isinstance(ring, Outside):
        return ring
    if bad := rising(percents):
        return bad
    if again_after is not None and not 0 < again_after < float("inf"):
        return Outside("the wait before the last round must be above 0", "write it as 4 h")
    found = [Round(exact(p), pattern.order, not crosswise, pattern.source) for p in percents]
    if count > 1:
        found.append(Round(Fraction(100), ring.order, True, ROUND))
    if again_after is not None:
        found.append(Round(Fraction(100), ring.order, True, ROUND, float(again_after)))
    return tuple(found)
