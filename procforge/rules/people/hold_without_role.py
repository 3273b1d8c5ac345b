"""A hold without a role.

A hold, witness or review says who releases it: `by ROLE`.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Hold
from procforge.rules.base import PEOPLE, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Hold) and not work.role:
            yield RULE.finding(work.where, f"{work.point} {work.name} says no role")


RULE = static_rule(
    __doc__,
    "hold-without-role",
    PEOPLE,
    "common practice",
    find,
    why="a signature anyone may give is nobody's",
    mend="say who: hold … by ROLE",
)
