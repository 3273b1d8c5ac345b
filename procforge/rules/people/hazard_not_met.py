"""A hazard that no step meets.

A hazard is declared and no step `meets` it: its panel would stand nowhere. A panel stands just before its step.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import in_file


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    met = {r.name for w in case.works for r in getattr(w, "meets", ())}
    met.update(case.procedure.used)  # a line that could not be read may have met it
    for hazard in case.procedure.hazards:
        if hazard.name not in met and in_file(case, hazard.where):
            yield RULE.finding(hazard.where, f"no step meets the hazard `{hazard.name}`")


RULE = static_rule(
    __doc__,
    "hazard-not-met",
    PEOPLE,
    "ANSI Z535.6; MIL-DTL-87268D 3.2.2",
    find,
    why="a warning that stands before no step is read by nobody",
    mend="write `meets` under the step where it can hurt",
)
