"""No crew.

A procedure says who does the work: crew 2 fitter, 1 operator.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if not case.procedure.crew and "crew" not in unread(case):
        yield RULE.finding(case.procedure.where, "the procedure says no crew")


RULE = static_rule(
    __doc__, "crew-missing", PEOPLE, "common practice", find, why="nobody can plan or sign it", mend="write crew …"
)
