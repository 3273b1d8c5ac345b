"""A waiver of an energy rule.

Rules that keep energy off people cannot be waived, nor can those whose fault leaves the proof in the dark: rules of
reading, a verb that means nothing, a result that nothing gives. A waiver names one rule that can be waived, at one step.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import not_waivable, waivers


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for _work, waiver in waivers(case):
        if waiver.rule in not_waivable():
            yield RULE.finding(waiver.where, f"`{waiver.rule}` cannot be waived")


RULE = static_rule(
    __doc__,
    "waiver-of-an-energy-rule",
    PEOPLE,
    "29 CFR 1910.147",
    find,
    why="nobody may sign away what keeps energy off people",
    mend="take the waiver out and mend the step",
)
