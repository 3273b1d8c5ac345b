"""A heavy part lifted by hand.

A part heavier than one person may lift is taken out, fitted or lifted in a step that names no tool to lift it with. The
limit is that of the site profile (`hand-lift-limit`), or 23 kg; the sheet says "Lift with an aid." from the same mass
on. A tool counts as a lifting aid if its range is a mass, or if no range is stated for it.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding, Severity
from procforge.model.equipment import Gauge
from procforge.model.procedure import Step
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import lifted
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    limit = case.site.hand_limit
    for work in case.works:
        if not isinstance(work, Step) or any(_lifts(case.equipment.items.get(t.name)) for t in work.tools):
            continue
        for ref, mass, machine in lifted(case, work):
            if mass.si > limit:
                yield RULE.finding(
                    ref.where,
                    f"{title(case.equipment, ref.name)} weighs {mass}, more than the {limit:.4g} kg that one person"
                    " may lift, and no lifting aid is named",
                    variants=() if len(case.machines) == 1 else (machine.variant.name,),
                )
                break


def _lifts(tool: object) -> bool:
    return isinstance(tool, Gauge) and tool.kind == "tool" and (tool.high is None or tool.high.kind == "mass")


RULE = static_rule(
    __doc__,
    "lifted-without-aid",
    PEOPLE,
    "NIOSH lifting equation (1991), load constant 23 kg (from memory); site rules",
    find,
    Severity.WARNING,
    why="backs and fingers are hurt by what is a little too heavy, and a dropped part hurts more",
    mend="name the aid in the step, as `with chain-hoist`, or say in it how several people lift and waive the rule",
)
