"""No number, revision or date.

A controlled document has a number, a revision and its date on every page.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import real_date, under, unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    p = case.procedure
    lacking = [
        w
        for w, there in (
            ("number", p.number),
            ("revision", p.revision),
            ("revision date", p.revision_date or not p.revision),
        )
        if not there
    ]
    if lacking and not {"procedure", "revision"} & unread(case):
        yield RULE.finding(p.where, f"the procedure has no {' and no '.join(lacking)}")
    if p.revision_date and not real_date(p.revision_date):
        yield RULE.finding(
            under(p.where, "revision"), f"{p.revision_date} is no date", "write the date as year-month-day"
        )


RULE = static_rule(
    __doc__,
    "revision-missing",
    PEOPLE,
    "ISO 9001 7.5 (from memory)",
    find,
    why="a copy without them cannot be told from an old one",
    mend='write procedure NUMBER "…" and revision B, 2026-09-30, "…"',
)
