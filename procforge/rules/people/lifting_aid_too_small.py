"""A lifting aid too small for its load.

A part is lifted in a step with a tool whose range is a mass, and weighs more than the range goes up to. Slings and
shackles that hang on the aid come on top: leave room for them.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Gauge
from procforge.model.procedure import Step
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import lifted
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step):
            continue
        for tool in work.tools:
            aid = case.equipment.items.get(tool.name)
            if not isinstance(aid, Gauge) or aid.high is None or aid.high.kind != "mass":
                continue
            for ref, mass, machine in lifted(case, work):
                if mass.si > aid.high.si:
                    yield RULE.finding(
                        tool.where,
                        f"{title(case.equipment, ref.name)} weighs {mass}, and {title(case.equipment, tool.name)} lifts"
                        f" {aid.high} at most",
                        variants=() if len(case.machines) == 1 else (machine.variant.name,),
                    )
                    break


RULE = static_rule(
    __doc__,
    "lifting-aid-too-small",
    PEOPLE,
    "common practice, no source: no lift above the marked load",
    find,
    why="an aid loaded past its mark can drop what hangs on it",
    mend="name an aid that carries the part with its slings",
    waivable=False,
)
