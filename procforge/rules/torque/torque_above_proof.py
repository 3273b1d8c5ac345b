"""A torque that may pass the proof load.

At the least friction that the lubricant can have, and the upper end of the torque's tolerance, the bolt is drawn
beyond its proof load (VDI 2230, friction of the lubricant as its table has it). That is a note: torques chosen close
to yield do so, and the maker's manual decides. Where the bolt passes its proof load at the middle of the friction
range too, it is a warning: most likely the torque was meant for a dry bolt, a stronger class or the next size.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from procforge.findings import Finding, Severity
from procforge.model.base import pick
from procforge.model.equipment import Fastener, Torque
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import item_first
from procforge.rules.torque.bolt_figures import friction_of, strength_of, thread_of
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    from procforge.engineering.friction import Friction
    from procforge.engineering.joint import Joint, judge_joint
    from procforge.engineering.strength import Strength
    from procforge.engineering.threads import Thread

    for item in case.equipment.items.values():
        if not isinstance(item, Fastener) or item.name != item_first(case, item) or not item.torque:
            continue
        thread, strength, friction = thread_of(item), strength_of(item), friction_of(item)
        if not (isinstance(thread, Thread) and isinstance(strength, Strength) and isinstance(friction, Friction)):
            continue
        told: dict[object, list[str]] = {}
        for machine in case.machines:
            torque = pick(item.torque, machine.variant)
            if isinstance(torque, Torque) and item.name in machine.items:
                told.setdefault(torque, []).append(machine.variant.name)
        for value in item.torque:
            variants = told.get(value.value)
            if not isinstance(value.value, Torque) or variants is None:
                continue
            target, high = float(value.value.target.si), value.value.high
            over = float(high.si) / target - 1 if high is not None and target > 0 else 0.0
            joint = judge_joint(target, thread, strength, friction, over)
            if isinstance(joint, Joint) and joint.faults:
                found = RULE.finding(
                    value.where,
                    f"{title(case.equipment, item.name)}: {joint.faults[0].message}",
                    variants=() if len(variants) == len(case.machines) else tuple(variants),
                )
                yield found if joint.share_middle.value > 1 else replace(found, severity=Severity.NOTE)


RULE = static_rule(
    __doc__,
    "torque-above-proof",
    TORQUE,
    "VDI 2230 part 1 (torque and friction classes), ISO 898-1 (proof stress), both at second hand",
    find,
    Severity.WARNING,
    why="past its proof load a bolt stays longer: it holds less at the next tightening, or breaks",
    mend="check torque, class and lubricant against the maker's manual; waive it where the manual says so",
)
