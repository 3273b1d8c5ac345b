"""A torque restated otherwise.

A step says a torque that is not the one of the machine file for some variant. The sheet prints the machine's
value by itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.base import pick
from procforge.model.equipment import Fastener
from procforge.model.procedure import Step
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import applies
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.torque is None:
            continue
        for ref in work.objects:
            item = case.equipment.items.get(ref.name)
            if not isinstance(item, Fastener):
                continue
            for machine in case.machines:
                torque = pick(item.torque, machine.variant)
                if (
                    torque is not None
                    and work.only_for.holds(machine.variant)
                    and (
                        torque.target != work.torque.target
                        or (work.torque.tolerance and torque.tolerance != work.torque.tolerance)
                    )
                    and applies(case, work, machine.variant)
                ):
                    yield RULE.finding(
                        work.torque_where,
                        f"the machine file says {torque.target} {torque.tolerance}".rstrip()
                        + f" for {title(case.equipment, ref.name)}",
                        variants=() if len(case.machines) == 1 else (machine.variant.name,),
                    )
                    break


RULE = static_rule(
    __doc__,
    "torque-differs",
    TORQUE,
    "common practice",
    find,
    why="two values for one joint: one of them is wrong",
    mend="take the line out of the step, or mend the machine file",
)
