"""A hold released by the doer.

The role that releases a hold is the one that did what it sees: the last step before it on the thing it sees; for an
energy, the proof, the try of its start or the last look. Where the crew has two or more of the role, another of them may release it.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Energy
from procforge.model.procedure import Check, Hold, Measure, Step
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import crew_of, first_role, row_reads
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    doer: dict[str, str] = {}
    for work in case.works:
        if isinstance(work, (Step, Check, Measure)):
            for ref in getattr(work, "objects", ()):
                item = case.equipment.items.get(ref.name)
                if not isinstance(item, Energy) or (
                    isinstance(work, Step) and (row_reads(work.verb) or work.verb == "look-into")
                ):
                    doer[ref.name] = work.role or first_role(case)
                if item is not None and item.kind == "driver" and isinstance(work, Step) and work.verb == "try-start":
                    driven = (n for n, i in case.equipment.items.items() if getattr(i, "driver", "") == ref.name)
                    doer |= dict.fromkeys(driven, work.role or first_role(case))
        elif isinstance(work, Hold) and work.role:
            for ref in work.sees:
                if doer.get(ref.name) == work.role and crew_of(case, work.role) < 2:
                    yield RULE.finding(
                        work.role_where,
                        f"{work.role} did what {work.point} {work.name} sees: {title(case.equipment, ref.name)}",
                    )
                    break


RULE = static_rule(
    __doc__,
    "hold-released-by-doer",
    PEOPLE,
    "common practice",
    find,
    why="whoever did it sees what he expects to see",
    mend="let another role release it",
)
