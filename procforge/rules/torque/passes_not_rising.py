"""Passes that do not rise.

Tightening passes rise to 100 % of the torque. A pass that is not above the one before, or a last one that is
not 100 %, is a slip.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import pass_lists, rising


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for where, passes in pass_lists(case):
        if not rising(passes):
            yield RULE.finding(where, "the passes do not rise to 100 %: " + ", ".join(str(q) for q in passes))


RULE = static_rule(
    __doc__,
    "passes-not-rising",
    TORQUE,
    "ASME PCC-1 (at second hand)",
    find,
    why="passes that do not rise leave the joint uneven",
    mend="give rising passes that end at 100 %",
)
