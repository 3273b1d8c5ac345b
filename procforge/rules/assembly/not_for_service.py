"""Something the service forbids.

A consumable, part or part kind is used that the machine file rules out: `not for` a service, `not with` an item
or fluid, `kind …` for other variants, or `only for` others.

An O-ring may be oiled only where the gas allows it; a wet-gas machine has liquid-relief inlet valves.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Check, Measure, Step
from procforge.rules.base import ASSEMBLY, Case, static_rule
from procforge.rules.common import applies, forbidden


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, (Step, Check, Measure)):
            continue
        for machine in case.machines:
            if not (work.only_for.holds(machine.variant) and applies(case, work, machine.variant)):
                continue
            bad = next(forbidden(machine, work), None)
            if bad is not None:
                span, message = bad
                yield RULE.finding(span, message, variants=() if len(case.machines) == 1 else (machine.variant.name,))
                break


RULE = static_rule(
    __doc__,
    "not-for-service",
    ASSEMBLY,
    "common practice",
    find,
    why="what the gas or the item does not stand fails later, and nobody sees it at once",
    mend="use what the machine file allows, or limit the step: only for …",
)
