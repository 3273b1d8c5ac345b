"""A tightening pattern restated otherwise.

A step says a pattern or passes that are not those of the joint in the machine file, or a pattern the tool does
not know (cross, circular).
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.model.equipment import Fastener
from procforge.rules.common import PATTERNS, item_first
from procforge.rules.wording import title
from procforge.rules.base import TORQUE, Case, static_rule


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
                item.where, f"`{item.pattern}` is no pattern the sheet can draw", f"one of: {', '.join(PATTERNS)}"
            )
    for work in case.works:
        if not isinstance(work, Step):
            continue
        for ref in work.objects:
            item = case.equipment.items.get(ref.name)
            if isinstance(item, Fastener) and work.pattern and item.pattern and work.pattern != item.pattern:
                yield RULE.finding(
                    work.pattern_where, f"the machine file says `{item.pattern}` for {title(case.equipment, ref.name)}"
                )
            if isinstance(item, Fastener) and work.passes and item.passes and work.passes != item.passes:
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
