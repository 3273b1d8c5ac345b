"""A check without a criterion.

A check says what is accepted: `accept "…"`, or a `limit`.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Check
from procforge.rules.base import JUDGEMENT, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Check) and not work.accept and work.limit is None:
            yield RULE.finding(work.where, f"`{work.name}` does not say what is accepted")


RULE = static_rule(
    __doc__,
    "check-without-criterion",
    JUDGEMENT,
    "common practice",
    find,
    why="without a criterion two people judge the same part differently",
    mend='write accept "…", or a limit',
)
