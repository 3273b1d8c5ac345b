"""A hazard panel lacks a part.

A panel says the hazard, how grave it is and whom it harms, what happens, and how to avoid it.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import SEVERITIES, under


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for hazard in case.procedure.hazards:
        lacking = [
            w
            for w, there in (("severity", hazard.severity), ("what happens", hazard.text), ("avoid", hazard.avoid))
            if not there
        ]
        if lacking:
            yield RULE.finding(hazard.where, f"the hazard `{hazard.name}` lacks {' and '.join(lacking)}")
        elif hazard.severity not in SEVERITIES:
            yield RULE.finding(
                under(hazard.where, "severity"),
                f"`{hazard.severity}` is no severity",
                f"one of: {', '.join(SEVERITIES)}",
            )


RULE = static_rule(
    __doc__,
    "hazard-incomplete",
    PEOPLE,
    "ANSI Z535.6; MIL-DTL-87268D 3.2.2",
    find,
    why="half a warning is not heeded",
    mend='add severity …, harm …, a text, and avoid "…"',
)
