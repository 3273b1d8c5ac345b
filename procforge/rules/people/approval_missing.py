"""Nobody approved it.

A procedure names its author, reviewer and approver; an issued one has the approval's date.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    p = case.procedure
    there = {s.part for s in p.signatures}
    lacking = [w for w in ("author", "reviewer", "approver") if w not in there | unread(case)]
    if lacking:
        yield RULE.finding(p.where, f"the procedure names no {' and no '.join(lacking)}")


RULE = static_rule(
    __doc__,
    "approval-missing",
    PEOPLE,
    "ISO 9001 7.5 (from memory); 29 CFR 1910.119(f)",
    find,
    why="an unapproved procedure is a draft",
    mend='write author "…", reviewer "…", approver "…", 2026-10-02',
)
