"""A result read twice.

A result is read in two places and was not taken again between them. The second reading always goes the same way
as the first: joining the two branches makes the sheet shorter and surer.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding, Severity
from procforge.model.procedure import AnyWork, Check, Measure, Step, When
from procforge.rules.base import JUDGEMENT, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    seen: dict[str, AnyWork] = {}
    for work in case.works:
        if isinstance(work, (Step, Check, Measure)) and work.result:
            seen.pop(work.result, None)
        elif isinstance(work, When):
            if work.check in seen:
                yield RULE.finding(work.check_where, f"`{work.check}` is read a second time")
            seen[work.check] = work


RULE = static_rule(
    __doc__,
    "result-read-twice",
    JUDGEMENT,
    "common practice",
    find,
    Severity.NOTE,
    why="the second reading can only go one way",
    mend="join the two branches, or check again",
)
