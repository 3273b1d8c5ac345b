"""A result that nothing follows from.

A check of parts has an accept criterion, and no `when` or `repeat` after it reads the result. Whoever rejects
the part is not told what to do.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Check, Repeat, Step, When
from procforge.rules.base import JUDGEMENT, Case, static_rule
from procforge.rules.common import named, row_reads


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    read = {w.check for w in case.works if isinstance(w, (When, Repeat))}
    for work in case.works:
        if isinstance(work, Check) and work.result not in read:
            yield RULE.finding(work.where, f"nothing reads the result of `{work.name}`")
        elif (
            isinstance(work, Step)
            and work.as_name
            and row_reads(work.verb)
            and work.result not in read
            and not named(case, work.as_name)
        ):
            yield RULE.finding(
                work.where, f"nothing reads `{work.as_name}`", "read it with `when`, or take the name off"
            )


RULE = static_rule(
    __doc__,
    "result-never-read",
    JUDGEMENT,
    "common practice",
    find,
    why="a rejection with no way on is passed over",
    mend="write what follows: when … rejected … end",
)
