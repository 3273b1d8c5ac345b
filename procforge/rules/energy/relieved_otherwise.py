"""A stored energy is relieved or loaded without what it takes.

The machine file says what takes the energy out of a spring, a load or a charge (`relieved by`). The step that relieves
or tensions it names none of these.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Energy
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import applies
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.verb not in ("relieve", "tension"):
            continue
        for ref in work.objects:
            item = case.equipment.items.get(ref.name)
            if not isinstance(item, Energy) or {t.name for t in work.tools} & set(item.relieved_by):
                continue
            ways = [
                [n for n in item.relieved_by if n in m.items] for m in case.machines if applies(case, work, m.variant)
            ]
            if ways and all(ways):
                named = title(case.equipment, ref.name)
                done = "relieved" if work.verb == "relieve" else "loaded"
                yield RULE.finding(
                    ref.where,
                    f"{named} is {done} with nothing that the machine file names",
                    f"with {' or '.join(ways[0])}",
                )


RULE = static_rule(
    __doc__,
    "relieved-otherwise",
    ENERGY,
    "29 CFR 1910.147(d)(5); common practice",
    find,
    why="a spring let go by hand or with the wrong tool strikes",
    mend="name the tool that `relieved by` says",
)
