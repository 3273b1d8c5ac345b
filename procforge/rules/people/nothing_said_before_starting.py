"""Nothing said before starting.

Conditions, permits and protective wear stand before the work, or an explicit `before starting none`. An empty
place leaves open whether anyone thought of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if not case.procedure.before_starting and "before" not in unread(case):
        yield RULE.finding(case.procedure.where, "nothing is said of what must hold before starting")


RULE = static_rule(
    __doc__,
    "nothing-said-before-starting",
    PEOPLE,
    "OASIS DITA, machinery task; common practice",
    find,
    why='an empty place does not say "none"',
    mend="write before starting … or before starting none",
)
