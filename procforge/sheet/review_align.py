"""Putting the rows of several variants side by side by what they are, never by their printed numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Aligned(Generic[T]):
    """One thing as each of n variants has it, None where a variant has none; at least one has it."""

    items: tuple[T | None, ...]

    @property
    def first(self) -> T:
        """The thing in the first variant that has it."""
        return next(item for item in self.items if item is not None)

    @property
    def having(self) -> tuple[int, ...]:
        """The variants that have it, by number."""
        return tuple(at for at, item in enumerate(self.items) if item is not None)


def align(
    sequences: Sequence[Sequence[T]],
    identity: Callable[[T], Hashable],
    depth: Callable[[T], int] = lambda _: 0,
) -> tuple[Aligned[T], ...]:
    """One sequence out of n: every item of every variant once, each variant's order kept.

    What has the same identity is one row, as long as no two variants have two things in opposite orders; there the
    later of the two stands twice. Where several rows could come next, the deepest goes first, so that what one head
    holds is complete before another variant's next head. An identity that a variant has twice counts by occurrence.
    """
    named = [_counted([identity(item) for item in items]) for items in sequences]
    left = Counter(name for names in named for name in names)
    at = [0] * len(sequences)
    found: list[Aligned[T]] = []
    while True:
        heads = {n: named[n][at[n]] for n in range(len(sequences)) if at[n] < len(named[n])}
        if not heads:
            return tuple(found)
        here = Counter(heads.values())
        ready = [n for n, name in heads.items() if here[name] == left[name]] or list(heads)[:1]
        best = heads[min(ready, key=lambda n: (-depth(sequences[n][at[n]]), n))]
        row: list[T | None] = [None] * len(sequences)
        for n, name in heads.items():
            if name == best:
                row[n] = sequences[n][at[n]]
                at[n] += 1
                left[name] -= 1
        found.append(Aligned(tuple(row)))


def _counted(names: Sequence[Hashable]) -> list[tuple[Hashable, int]]:
    seen: Counter[Hashable] = Counter()
    out = []
    for name in names:
        seen[name] += 1
        out.append((name, seen[name]))
    return out


@dataclass(frozen=True, slots=True)
class Ways(Generic[T]):
    """The different forms one thing has, each with the variants that have it, in the order of the variants."""

    forms: tuple[tuple[T, tuple[int, ...]], ...]

    @property
    def same(self) -> bool:
        """Whether all have one form."""
        return len(self.forms) == 1


def ways(items: Sequence[T]) -> Ways[T]:
    """The variants grouped by what they have; `items` has one for each variant."""
    groups: dict[T, list[int]] = {}
    for at, item in enumerate(items):
        groups.setdefault(item, []).append(at)
    return Ways(tuple((item, tuple(members)) for item, members in groups.items()))
