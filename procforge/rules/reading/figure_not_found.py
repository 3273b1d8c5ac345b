"""A picture that is not there.

A `figure` line names a file that cannot be read. The name is seen from the file that says it.
"""

from __future__ import annotations

from procforge.rules.base import READING, static_rule
from procforge.rules.figures import finder

RULE = static_rule(
    __doc__,
    "figure-not-found",
    READING,
    "the language reference, grammar/README.md",
    finder("figure-not-found"),
    why='the sheet would say "see figure" where there is none',
)
