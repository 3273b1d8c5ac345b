"""A gauge too coarse for its proof.

A proof at a limit needs a gauge whose error is small beside the limit. The error is the accuracy class in percent
of the span; the limit has to be at least four times that. So a gauge of 0 bar to 1 bar of class 1.0 errs by 0.01
bar and can show 0.05 bar (5 times); one of 0 bar to 100 bar of class 1.0 errs by 1 bar and cannot. Where the step
names no gauge and the machine file names one, that one is judged.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.machine import Machine
from procforge.findings import Finding
from procforge.model.equipment import Gauge
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import accuracy_ratio, applies
from procforge.rules.wording import title

#: The least ratio of the limit to the gauge's error.
WANTED = 4


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.verb != "prove" or work.limit is None or work.limit.high is None:
            continue
        for machine in case.machines:
            gauge = _gauge(work, machine) if applies(case, work, machine.variant) else None
            ratio = accuracy_ratio(gauge, work.limit.high) if gauge else None
            if gauge and ratio is not None and ratio < WANTED:
                yield RULE.finding(
                    work.limit.where if work.limit.where.line else work.where,
                    f"{title(case.equipment, gauge.name)} is too coarse for {work.limit.high}: the limit is "
                    f"{float(ratio):.2g} times its error, {WANTED} times is wanted",
                    label="read to this limit",
                )
                break


def _gauge(work: Step, machine: Machine) -> Gauge | None:
    """The gauge the step is read at in a variant: its own, else the only one of its spaces."""
    if work.at is not None:
        return machine.gauge(work.at.name)
    spaces = [r.name for r in work.objects if machine.kind(r.name) == "pressure-space"]
    listed = list(dict.fromkeys(g for s in spaces for g in machine.gauges(s)))
    return machine.gauge(listed[0]) if len(listed) == 1 else None


RULE = static_rule(
    __doc__,
    "gauge-too-coarse",
    ENERGY,
    "common practice (ratio 4 to 1); accuracy class as in EN 837-1 (from memory)",
    find,
    why="the error of the gauge is not small beside the limit: its pointer cannot tell the limit from zero",
    mend="prove at a gauge with a smaller range or a better class, or set a limit the gauge can show",
)
