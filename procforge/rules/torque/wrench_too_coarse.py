"""A wrench too coarse for its torque.

The error of the wrench is larger than the tolerance of the torque, so that a torque set right may still be out of
its limits. A hand torque wrench may be off by 4 % where its highest mark is above 10 N·m, by 6 % up to it; a `class`
given with its range goes before that.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Gauge
from procforge.model.procedure import Step
from procforge.quantities import comparable
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import torques
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    from procforge.engineering.wrench import Wrench, judge_wrench

    for work in case.works:
        if not isinstance(work, Step) or work.verb not in ("tighten", "retighten"):
            continue
        told = set()
        for ref, torque, machine in torques(case, work):
            if torque.high is None or torque.low is None or torque.target.si <= 0:
                continue
            target = float(torque.target.si)
            tolerance = float(min(torque.high.si - torque.target.si, torque.target.si - torque.low.si)) / target
            for tool in work.tools:
                wrench = case.equipment.items.get(tool.name)
                if not isinstance(wrench, Gauge) or wrench.low is None or wrench.high is None or tool.name in told:
                    continue
                if not comparable(wrench.high, torque.target) or not 0 < tolerance <= 1:
                    continue
                own = float(wrench.accuracy) / 100 if wrench.accuracy else None
                faults = judge_wrench(Wrench(float(wrench.low.si), float(wrench.high.si), error=own), target, tolerance)
                for fault in faults if isinstance(faults, tuple) else ():
                    if fault.kind == "wrench-too-coarse":
                        told.add(tool.name)
                        yield RULE.finding(
                            tool.where,
                            f"{title(case.equipment, tool.name)} for {title(case.equipment, ref.name)}: {fault.message}",
                            variants=() if len(case.machines) == 1 else (machine.variant.name,),
                        )


RULE = static_rule(
    __doc__,
    "wrench-too-coarse",
    TORQUE,
    "ISO 6789-1 (±4 %, ±6 %; at second hand); common practice",
    find,
    why="the wrench may be off by more than the torque may be",
    mend="name a finer wrench with its class, or check whether the tolerance is meant so tight",
)
