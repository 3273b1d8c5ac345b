"""A path as strides from node to node, and what makes one that nobody could walk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from procforge.analysis.program import Kind, Node


@dataclass(frozen=True, slots=True)
class Stride:
    """One node passed on a path, and which way it was left."""

    node: int
    way: int = 0


def contradiction(nodes: Sequence[Node], path: Sequence[Stride]) -> tuple[str, str | int] | None:
    """What a path gets wrong: a check read otherwise than it came out, a repeat left in the wrong round."""
    results: dict[str, int] = {}
    rounds: dict[int, int] = {}
    for stride in path[:-1]:
        node = nodes[stride.node]
        kind = node.kind
        if not kind:  # OP: the plain case, kept out of the enum for speed
            continue
        if kind == Kind.RESULT:
            results[node.check] = stride.way
        elif kind == Kind.READ and results.get(node.check, stride.way) != stride.way:
            return "check", node.check
        elif kind == Kind.ENTER:
            rounds[node.loop] = 1
        elif kind == Kind.ROUND:
            done = rounds.get(node.loop, 1)
            if (stride.way == 0 and node.bound and done >= node.bound) or (stride.way == 1 and done != node.bound):
                return "loop", node.loop
            rounds[node.loop] = done + 1
    return None
