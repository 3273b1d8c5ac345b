"""The ways through a stack from outside to inside: the columns in which it can be drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

MOST_COLUMNS = 3


def ways(layers: Sequence[str], under: Mapping[str, tuple[str, ...]], most: int = 40) -> list[tuple[str, ...]]:
    """The ways from the outermost layers to the innermost, left to right; empty if there are more than `most`."""
    covered = {name for below in under.values() for name in below}
    found: list[tuple[str, ...]] = []
    waiting: list[tuple[str, ...]] = []
    for name in reversed(layers):
        if name not in covered:
            waiting.append((name,))
    while waiting:
        way = waiting.pop()
        below = under[way[-1]]
        if not below:
            found.append(way)
            if len(found) > most:
                return []
        waiting += [(*way, name) for name in reversed(below)]
    return found


def groups(layers: Sequence[str], under: Mapping[str, tuple[str, ...]]) -> list[list[tuple[str, ...]]]:
    """The ways in groups that can be drawn side by side: few, and each layer in neighbouring columns only."""
    found: list[list[tuple[str, ...]]] = []
    for way in ways(layers, under):
        if found and len(found[-1]) < MOST_COLUMNS and _neighbours([*found[-1], way]):
            found[-1].append(way)
        else:
            found.append([way])
    return found


def _neighbours(group: list[tuple[str, ...]]) -> bool:
    for name in {name for way in group for name in way}:
        columns = [at for at, way in enumerate(group) if name in way]
        if columns[-1] - columns[0] + 1 != len(columns):
            return False
    return True
