"""A torque outside the wrench.

The torque of the joint is outside the range of the wrench that the step names. A wrench is used from the larger
of its lowest mark and a fifth of its highest.
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
    for work in case.works:
        if not isinstance(work, Step) or work.verb not in ("tighten", "retighten"):
            continue
        for ref, torque, machine in torques(case, work):
            for tool in work.tools:
                wrench = case.equipment.items.get(tool.name)
                if isinstance(wrench, Gauge) and wrench.high is not None and comparable(wrench.high, torque.target):
                    lowest = max(wrench.low.si if wrench.low is not None else 0, wrench.high.si / 5)
                    if not lowest <= torque.target.si <= wrench.high.si:
                        below = wrench.low is not None and wrench.low.si <= torque.target.si < lowest
                        why = (
                            f"less than a fifth of the {wrench.high}"
                            if below
                            else f"outside the {wrench.low} to {wrench.high}"
                        )
                        yield RULE.finding(
                            tool.where,
                            f"{torque.target} for {title(case.equipment, ref.name)} is {why} of {title(case.equipment, tool.name)}",
                            variants=() if len(case.machines) == 1 else (machine.variant.name,),
                        )
                        break


RULE = static_rule(
    __doc__,
    "wrench-out-of-range",
    TORQUE,
    "ISO 6789 (at second hand); common practice",
    find,
    why="outside its range a wrench clicks at something else, or not at all",
    mend="name a wrench whose range covers the torque",
)
