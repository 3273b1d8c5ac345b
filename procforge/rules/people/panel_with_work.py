"""A panel with work in it.

A hazard panel warns; it holds no work steps. Work in a panel has no number, no tick and no place in the proof.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import starts_with_work


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for hazard in case.procedure.hazards:
        for text, where in [
            *zip(hazard.text, hazard.text_where, strict=False),
            *zip(hazard.avoid, hazard.avoid_where, strict=False),
        ]:
            verb = starts_with_work(text)
            if verb:
                yield RULE.finding(where, f"the panel of `{hazard.name}` gives work: {verb}")


RULE = static_rule(
    __doc__,
    "panel-with-work",
    PEOPLE,
    "MIL-DTL-87268D 3.2.2; ANSI Z535.6",
    find,
    why="a step in a panel is skipped, or done twice",
    mend="make it a step",
)
