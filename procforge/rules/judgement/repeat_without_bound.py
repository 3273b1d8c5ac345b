"""A repeat without a bound.

Rounds go on until a check is accepted, and nothing says how many at most.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Repeat
from procforge.rules.base import JUDGEMENT, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Repeat) and work.times == 0:
            yield RULE.finding(work.where, "this repeat has no bound")


RULE = static_rule(
    __doc__,
    "repeat-without-bound",
    JUDGEMENT,
    "DOE-STD-1029 (read in part); common practice",
    find,
    why="a round that can always be taken again has no end",
    mend="say how often: at most 2 times, and what then: otherwise",
)
