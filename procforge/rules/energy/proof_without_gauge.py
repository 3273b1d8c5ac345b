"""A proof without a gauge.

A pressure space is to be proved, and neither the step nor the machine file says at which gauge: the machine names
none, or several and the step none. Motions and stored energies are proved in other ways and are not asked.
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
        if not isinstance(work, Step) or work.verb != "prove" or work.at is not None:
            continue
        for machine in case.machines:
            bare = [
                r for r in work.objects if machine.kind(r.name) == "pressure-space" and len(machine.gauges(r.name)) != 1
            ]
            if bare:
                yield RULE.finding(
                    bare[0].where,
                    f"{title(case.equipment, bare[0].name)} is proved without a gauge",
                    label="proved here",
                )
                break


RULE = static_rule(
    __doc__,
    "proof-without-gauge",
    ENERGY,
    "29 CFR 1910.147(d)(6)",
    find,
    why="zero is read at an instrument, not assumed",
    mend="name the gauge: prove … at GAUGE",
)
