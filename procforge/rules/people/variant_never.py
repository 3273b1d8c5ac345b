"""A step for a variant that never comes here.

A step or block is `only for` variants that the procedure does not apply to.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    from_all = case.procedure.equipment.variants
    declared = [v for v in from_all if case.procedure.applies.holds(v)]
    for work in case.works:
        scope = work.only_for
        if (scope.models or scope.services) and declared and not any(scope.holds(v) for v in declared):
            yield RULE.finding(
                work.only_where if work.only_where.line else work.where,
                f"{scope.words} is not among the variants of this procedure",
            )


RULE = static_rule(
    __doc__,
    "variant-never",
    PEOPLE,
    "common practice",
    find,
    why="it is never done, and the proof never sees it",
    mend="mend the variants, or take it out",
)
