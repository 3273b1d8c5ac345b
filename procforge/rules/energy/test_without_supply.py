"""Test pressure without a supply.

A step puts test pressure or a charge on a space and names no supply (`with`) that the machine file declares for it, or names
one that does not feed it. A leak test needs none if the pressure is on already.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Step) and _fills(case, work):
            named = [t for t in work.tools if getattr(case.equipment.items.get(t.name), "kind", "") == "supply"]
            if not named:
                what = "test pressure" if work.verb == "pressurise" else "a charge"
                yield RULE.finding(work.where, f"{what} is put on, and no supply is named", label="put on here")
            for ref in named:
                feeds = getattr(case.equipment.items[ref.name], "feeds", ())
                for thing in work.objects:
                    if thing.name not in feeds:
                        yield RULE.finding(
                            ref.where,
                            f"{title(case.equipment, ref.name)} does not feed {title(case.equipment, thing.name)}",
                        )


def _fills(case: Case, step: Step) -> bool:
    """Whether the step puts pressure on a space through a supply."""
    kinds = {getattr(case.equipment.items.get(r.name), "kind", "") for r in step.objects}
    return bool(step.objects) and (step.verb == "pressurise" or (step.verb == "charge" and "pressure-space" in kinds))


RULE = static_rule(
    __doc__,
    "test-without-supply",
    ENERGY,
    "common practice",
    find,
    why="what is not named cannot be checked: what feeds it, how far it reaches, that it is off again",
    mend="declare the supply in the machine and name it: pressurise … with SUPPLY",
)
