"""A check valve is counted as isolation.

A check valve stops flow one way while it is tight and clean. It is no isolation: the machine file must not name
it under `isolated by`, and a procedure must not isolate or lock it. `not isolated by` says that it does not
count.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Energy
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for name, item in case.equipment.items.items():
        if isinstance(item, Energy):
            for valued in item.feeds:
                for feed in valued.value:
                    for scheme in feed:
                        for block in scheme.blocks:
                            if getattr(case.equipment.items.get(block), "kind", "") == "check-valve":
                                yield RULE.finding(
                                    valued.where,
                                    f"{title(case.equipment, name)} counts on {title(case.equipment, block)}, a check valve",
                                )
    for work in case.works:
        if isinstance(work, Step) and work.verb in ("isolate", "lock", "shut"):
            for ref in work.objects:
                if getattr(case.equipment.items.get(ref.name), "kind", "") == "check-valve":
                    yield RULE.finding(
                        ref.where, f"{title(case.equipment, ref.name)} is a check valve; it isolates nothing"
                    )


RULE = static_rule(
    __doc__,
    "check-valve-counted",
    ENERGY,
    "common practice",
    find,
    why="a check valve leaks back as soon as dirt holds it open",
    mend="isolate with a block valve, two blocks and a bleed, or a spade",
)
