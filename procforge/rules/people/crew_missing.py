"""No crew.

A procedure says who does the work: crew 2 fitter, 1 operator.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if not case.procedure.crew and not case.procedure.holes:
        yield RULE.finding(case.procedure.where, "the procedure says no crew")


RULE = static_rule(
    __doc__, "crew-missing", PEOPLE, "common practice", find, why="nobody can plan or sign it", mend="write crew …"
)
