"""Two instructions in a sentence.

A sentence gives one instruction. "… and then …" and a semicolon join two.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import WORDS, Case, static_rule
from procforge.rules.lint import joined, narrowed, prose


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for text, where in prose(case):
        found = joined(text)
        if found:
            yield RULE.finding(narrowed(where, text, found), f"two instructions in one sentence, joined by `{found}`")


RULE = static_rule(
    __doc__,
    "two-instructions",
    WORDS,
    "DOE-STD-1029 (read in part); ASD-STE100 (at second hand, no conformity claimed)",
    find,
    why="the second half is skipped",
    mend="make two sentences, or two steps",
)
