"""A step that is never reached.

No path of any variant comes to this step: it stands after a stop, or is for variants that its block leaves out.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.proof.unreached:
        yield RULE.finding(work.where, "no path comes to this step")


RULE = static_rule(
    __doc__,
    "never-reached",
    PEOPLE,
    "common practice",
    find,
    why="the sheet prints work that nobody can come to",
    mend="take it out, or open the way to it",
)
