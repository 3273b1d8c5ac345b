"""A question with an open end.

A question has two answers; the sheet must say what to do on both. An answer on which the work simply goes on is
written as an empty `no` (or `yes`).
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Ask
from procforge.rules.base import JUDGEMENT, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Ask):
            for answer in ("yes", "no"):
                if answer not in work.answered:
                    yield RULE.finding(work.where, f"nothing is said for the answer `{answer}`")


RULE = static_rule(
    __doc__,
    "question-with-open-end",
    JUDGEMENT,
    "DOE-STD-1029 (read in part); common practice",
    find,
    why="whoever gets the other answer is not told what to do",
    mend="write both answers; an empty one means: go on",
)
