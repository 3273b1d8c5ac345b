"""A check valve is counted as isolation.

A check valve stops flow one way while it is tight and clean. It is no isolation: the machine file must not name
it under `isolated by`, and a procedure must not isolate, shut or lock it. `not isolated by` says that it does not
count. A check valve is told once: in the machine file if that counts on it, else where it is handled first.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding, Mark
from procforge.model.equipment import Energy
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import ISOLATING
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    told = set()
    for name, item in case.equipment.items.items():
        if isinstance(item, Energy):
            for valued in item.feeds:
                for block in dict.fromkeys(b for feed in valued.value for scheme in feed for b in scheme.blocks):
                    if _is_check_valve(case, block):
                        told.add(block)
                        yield RULE.finding(
                            valued.where,
                            f"{title(case.equipment, name)} counts on {title(case.equipment, block)}, a check valve",
                            label="counted here",
                        )
    handled: dict[str, list[Mark]] = {}
    for work in case.works:
        if isinstance(work, Step) and work.verb in ISOLATING:
            for ref in work.objects:
                if ref.name not in told and _is_check_valve(case, ref.name):
                    handled.setdefault(ref.name, []).append(Mark(ref.where, "and here"))
    for name, (first, *more) in handled.items():
        message = f"{title(case.equipment, name)} is a check valve; it isolates nothing"
        yield RULE.finding(first.span, message, label="handled as an isolator here", marks=tuple(more))


def _is_check_valve(case: Case, name: str) -> bool:
    return getattr(case.equipment.items.get(name), "kind", "") == "check-valve"


RULE = static_rule(
    __doc__,
    "check-valve-counted",
    ENERGY,
    "common practice",
    find,
    why="a check valve leaks back as soon as dirt holds it open",
    mend="isolate with a block valve, two blocks and a bleed, or a spade",
)
