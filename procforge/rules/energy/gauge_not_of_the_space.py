"""A proof at a gauge that is not of the space.

The machine file says at which gauges a space is proved (`proved at PI-1 or PI-2`). The step reads another. Where
a variant has gauges of its own, the gauge must be one of each variant the step is for.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import applies
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.verb != "prove" or work.at is None:
            continue
        machines = [m for m in case.machines if applies(case, work, m.variant)]
        for ref in work.objects:
            spaces = [m for m in machines if m.kind(ref.name) == "pressure-space"]
            wrong = [m for m in spaces if work.at.name not in m.gauges(ref.name)]
            if wrong:
                listed = " or ".join(wrong[0].gauges(ref.name))
                yield RULE.finding(
                    work.at.where,
                    f"{title(case.equipment, ref.name)} is not proved at {work.at.name}",
                    f"prove it at {listed}" if listed else "",
                    label="read here",
                    variants=tuple(m.variant.name for m in wrong) if len(wrong) < len(case.machines) else (),
                )


RULE = static_rule(
    __doc__,
    "gauge-not-of-the-space",
    ENERGY,
    "common practice",
    find,
    why="a gauge elsewhere says nothing of this space",
    mend="say in the machine file at which gauge the space is proved: proved at …",
)
