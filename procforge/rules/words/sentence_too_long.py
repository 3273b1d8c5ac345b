"""A sentence over 20 words.

A sentence of an instruction has at most 20 words.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import WORDS, Case, static_rule
from procforge.rules.lint import LONGEST, narrowed, prose, sentences


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for text, where in prose(case):
        for sentence in sentences(text):
            count = len(sentence.split())
            if count > LONGEST:
                yield RULE.finding(
                    narrowed(where, text, sentence.split()[0]),
                    f"a sentence of {count} words; {LONGEST} are read at once",
                )


RULE = static_rule(
    __doc__,
    "sentence-too-long",
    WORDS,
    "ASD-STE100 (at second hand, no conformity claimed)",
    find,
    why="a long sentence is read once, at the wrong moment",
    mend="make two sentences",
)
