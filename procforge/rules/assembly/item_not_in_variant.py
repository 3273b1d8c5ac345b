"""A step for a variant that lacks its object.

A step acts on an item that the machine file has for other variants only (`only for …`).
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import ASSEMBLY, Case, static_rule
from procforge.rules.common import applies
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        refs = [*getattr(work, "objects", ()), *getattr(work, "tools", ()), *getattr(work, "sees", ())]
        for ref in refs:
            lacking = [
                m.variant.name
                for m in case.machines
                if ref.name in case.equipment.items
                and ref.name not in m.items
                and work.only_for.holds(m.variant)
                and applies(case, work, m.variant)
            ]
            if lacking:
                yield RULE.finding(
                    ref.where,
                    f"{title(case.equipment, ref.name)} does not exist in {'; '.join(lacking)}",
                    variants=tuple(lacking),
                )


RULE = static_rule(
    __doc__,
    "item-not-in-variant",
    ASSEMBLY,
    "common practice",
    find,
    why="the technician is sent to something that is not there",
    mend="limit the step to the variants that have it: only for …",
)
