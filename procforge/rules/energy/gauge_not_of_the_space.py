"""A proof at a gauge that is not of the space.

The machine file says at which gauges a space is proved (`proved at …`). The step reads another.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.verb not in ("prove", "gas-test") or work.at is None:
            continue
        for machine in case.machines:
            wrong = [
                r
                for r in work.objects
                if machine.kind(r.name) == "pressure-space"
                and work.verb == "prove"
                and work.at.name not in machine.gauges(r.name)
            ]
            if wrong:
                yield RULE.finding(
                    work.at.where, f"{title(case.equipment, wrong[0].name)} is not proved at {work.at.name}"
                )
                break


RULE = static_rule(
    __doc__,
    "gauge-not-of-the-space",
    ENERGY,
    "common practice",
    find,
    why="a gauge elsewhere says nothing of this space",
    mend="read it at a gauge the machine file names for the space",
)
