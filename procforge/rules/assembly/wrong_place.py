"""Fitted in the wrong place.

A part is fitted at a place where the machine file does not have it (and it is not `interchangeable`).
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.rules.base import ASSEMBLY, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.at is None or work.at.name not in case.equipment.places:
            continue
        for ref in work.objects:
            item = case.equipment.items.get(ref.name)
            if item is not None and item.at and item.at != work.at.name and not getattr(item, "interchangeable", False):
                yield RULE.finding(
                    work.at.where, f"{title(case.equipment, ref.name)} belongs at {item.at}, not at {work.at.name}"
                )


RULE = static_rule(
    __doc__,
    "wrong-place",
    ASSEMBLY,
    "common practice",
    find,
    why="the part does not belong there",
    mend="fit it at its own place, or write `interchangeable` in the machine",
)
