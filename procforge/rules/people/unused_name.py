"""Declared and not used.

A tool, consumable, fact, block or temporary item is declared in the procedure's own file and used by no step:
it stands in the kit, and nobody needs it. Items of a machine file may stay unused.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import unused


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for kind, name, where in unused(case):
        yield RULE.finding(where, f"the {kind} `{name}` is declared and not used")


RULE = static_rule(
    __doc__,
    "unused-name",
    PEOPLE,
    "common practice",
    find,
    why="what is listed and not needed is fetched, carried and left lying",
    mend="use it, or take it out",
)
