"""A gauge too coarse for its proof.

A proof at a limit needs a gauge whose error is small beside the limit. The error is class x span / 100; the
limit should be at least four times that (a ratio below 4 is an error here below 1, a warning is not given: the
gauge is wrong for the proof).

A 0-100 bar gauge of class 1.0 cannot show 0.1 bar.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import accuracy_ratio
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.verb != "prove" or work.limit is None or work.limit.high is None:
            continue
        for machine in case.machines:
            gauge = machine.gauge(work.at.name) if work.at else None
            if gauge is None:
                listed = [
                    g for r in work.objects if machine.kind(r.name) == "pressure-space" for g in machine.gauges(r.name)
                ]
                gauge = machine.gauge(listed[0]) if len(listed) == 1 else None
            ratio = accuracy_ratio(gauge, work.limit.high) if gauge else None
            if gauge and ratio is not None and ratio < 4:
                where = work.limit.where if work.limit.where.line else work.where
                yield RULE.finding(
                    where,
                    f"{title(case.equipment, gauge.name)} is too coarse for {work.limit.high}: ratio {float(ratio):.2g}, 4 is wanted",
                )
                break


RULE = static_rule(
    __doc__,
    "gauge-too-coarse",
    ENERGY,
    "common practice; accuracy class as in EN 837-1 (from memory)",
    find,
    why="the error of the gauge is not small beside the limit: its pointer cannot tell the limit from zero",
    mend="prove at a gauge with a smaller range or a better class, or set a limit the gauge can show",
)
