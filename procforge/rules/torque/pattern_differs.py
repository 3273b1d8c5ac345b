"""A tightening pattern restated otherwise.

A step says a pattern or passes that are not those of the joint in the machine file, or a pattern the tool does
not know (cross, circular). The last round of a joint, a `retighten`, may go in a circle whatever its pattern.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Fastener
from procforge.model.procedure import Step
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import PATTERNS, item_first, rising, under
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for item in case.equipment.items.values():
        if (
            isinstance(item, Fastener)
            and item.pattern
            and item.pattern not in PATTERNS
            and item.name == item_first(case, item)
        ):
            yield RULE.finding(
                under(item.where, "pattern"),
                f"`{item.pattern}` is no pattern the sheet can draw",
                f"one of: {', '.join(PATTERNS)}",
            )
    for work in case.works:
        if not isinstance(work, Step):
            continue
        for ref in work.objects:
            joint = case.equipment.items.get(ref.name)
            last_round = work.verb == "retighten" and work.pattern == "circular"
            if (
                isinstance(joint, Fastener)
                and work.pattern
                and joint.pattern
                and work.pattern != joint.pattern
                and not last_round
            ):
                yield RULE.finding(
                    work.pattern_where, f"the machine file says `{joint.pattern}` for {title(case.equipment, ref.name)}"
                )
            if (
                isinstance(joint, Fastener)
                and joint.passes
                and rising(work.passes)
                and work.passes not in ((), joint.passes)
            ):
                yield RULE.finding(
                    work.passes_where, f"the machine file gives {title(case.equipment, ref.name)} other passes"
                )


RULE = static_rule(
    __doc__,
    "pattern-differs",
    TORQUE,
    "common practice",
    find,
    why="two orders for one joint: one of them is wrong",
    mend="take the line out of the step, or mend the machine file",
)
