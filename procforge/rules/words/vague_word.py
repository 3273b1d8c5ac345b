"""A word that cannot be checked.

Words such as properly, firmly, as necessary, sufficient, should or may cannot be checked: two people do two
things. Prose of steps, criteria and holds is looked at.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import WORDS, Case, static_rule
from procforge.rules.lint import narrowed, prose, vague


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for text, where in prose(case):
        found = vague(text)
        if found:
            yield RULE.finding(narrowed(where, text, found), f"`{found}` cannot be checked")


RULE = static_rule(
    __doc__,
    "vague-word",
    WORDS,
    "DOE-STD-1029 (read in part); common practice",
    find,
    why="two people read it in two ways",
    mend="say what is seen, measured or done; give the value",
)
