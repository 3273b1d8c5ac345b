"""A hold in a branch that guards nothing.

A hold in a branch, a repeat or a lane guards only the rest of that block. Without `sees` or `before` a way
round it is nobody's fault, and it says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import branch_holds


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in branch_holds(case.procedure.body, False):
        yield RULE.finding(work.where, f"{work.point} {work.name} stands in a branch and guards nothing")


RULE = static_rule(
    __doc__,
    "hold-guards-nothing",
    PEOPLE,
    "common practice",
    find,
    why="a hold that some ways pass by is a signature without meaning",
    mend="say what it stands before: before VERB THING, or what it sees",
)
