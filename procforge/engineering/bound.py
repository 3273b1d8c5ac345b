"""A time no schedule of these activities with this crew can beat."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import ceil

from procforge.engineering.network import Order, earliest, tails

_MOST_PAIRS = 120  # activities to which pairs are tried: the count of pairs grows with the square


def lower_bound(
    durations: Sequence[float], needs: Sequence[Sequence[tuple[int, int]]], crew: Sequence[int], order: Order
) -> float:
    """The greatest of: the critical path; the work of a role shared out among its people, with the least that must
    come before and after it; two activities that need too many people to be done at once, one after the other.

    Each rests on relaxing all other limits, so none can exceed the shortest schedule. `needs` by role number.
    """
    heads, after = earliest(durations, order), tails(durations, order)
    best = max((h + d + t for h, d, t in zip(heads, durations, after, strict=True)), default=0.0)
    for role, people in enumerate(crew):
        work = [
            (heads[i], after[i], durations[i] * count)
            for i, wanted in enumerate(needs)
            for which, count in wanted
            if which == role
        ]
        for head in {h for h, _, _ in work}:
            total = 0.0
            for _, tail, amount in sorted((w for w in work if w[0] >= head), key=lambda w: -w[1]):
                total += amount  # now of all that has at least this tail
                best = max(best, head + total / people + tail)
    if len(durations) <= _MOST_PAIRS:
        best = max(best, _pairs(durations, needs, crew, heads, after))
    # Starting each activity as early as it can go keeps whole durations at whole times.
    return float(ceil(best - 1e-9)) if all(float(d).is_integer() for d in durations) else best


def _pairs(
    durations: Sequence[float],
    needs: Sequence[Sequence[tuple[int, int]]],
    crew: Sequence[int],
    heads: Sequence[float],
    after: Sequence[float],
) -> float:
    best = 0.0
    wanted = [dict(entry) for entry in needs]
    for i, j in combinations(range(len(durations)), 2):
        if any(count + wanted[j].get(role, 0) > crew[role] for role, count in wanted[i].items() if role in wanted[j]):
            both = durations[i] + durations[j]
            best = max(best, min(heads[i] + both + after[j], heads[j] + both + after[i]))
    return best
