"""A waiver of nothing.

A waiver names a rule that does not exist, or one that has nothing to say at this step: it would hide a fault
that comes later.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from procforge.findings import Finding
from procforge.model.procedure import Waiver
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import all_names, waivers


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for _work, waiver in waivers(case):
        if waiver.rule not in all_names():
            close = get_close_matches(waiver.rule, all_names(), 1, 0.6)
            yield RULE.finding(
                waiver.where, f"no rule is called `{waiver.rule}`", f"did you mean `{close[0]}`?" if close else ""
            )


def idle(waiver: Waiver) -> Finding:
    """The finding for a waiver that covered nothing."""
    return RULE.finding(waiver.where, f"`{waiver.rule}` has nothing to say at this step")


RULE = static_rule(
    __doc__,
    "waiver-of-nothing",
    PEOPLE,
    "common practice",
    find,
    why="a waiver that waives nothing today hides something tomorrow",
    mend="take it out",
)
