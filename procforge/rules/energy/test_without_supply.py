"""Test pressure without a supply.

A step puts test pressure on a space and names no supply (`with`) that the machine file declares for it, or names
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
        if isinstance(work, Step) and work.verb == "pressurise" and work.objects:
            named = [t for t in work.tools if getattr(case.equipment.items.get(t.name), "kind", "") == "supply"]
            if not named:
                yield RULE.finding(work.where, "test pressure is put on, and no supply is named", label="put on here")
            for ref in named:
                feeds = getattr(case.equipment.items[ref.name], "feeds", ())
                for thing in work.objects:
                    if thing.name not in feeds:
                        yield RULE.finding(
                            ref.where,
                            f"{title(case.equipment, ref.name)} does not feed {title(case.equipment, thing.name)}",
                        )


RULE = static_rule(
    __doc__,
    "test-without-supply",
    ENERGY,
    "common practice",
    find,
    why="what is not named cannot be checked: what feeds it, how far it reaches, that it is off again",
    mend="declare the supply in the machine and name it: pressurise … with SUPPLY",
)
