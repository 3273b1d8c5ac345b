"""The wrong way up.

A step says a way up that is not the one of the machine file. The sheet prints the way up of the machine file by
itself; a step need not say it again.
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
        if not isinstance(work, Step) or not work.way_up:
            continue
        for ref in work.objects:
            said = getattr(case.equipment.items.get(ref.name), "way_up", "")
            if said and said.strip().lower().rstrip(".") != work.way_up.strip().lower().rstrip("."):
                yield RULE.finding(
                    work.way_up_where, f"the machine file says `{said}` for {title(case.equipment, ref.name)}"
                )
            elif not said:
                yield RULE.finding(
                    work.way_up_where,
                    f"the machine file gives {title(case.equipment, ref.name)} no way up",
                    "write the way up in the machine file, once",
                )


RULE = static_rule(
    __doc__,
    "wrong-way-up",
    ASSEMBLY,
    "common practice",
    find,
    why="a part that goes in the wrong way round does not work, or works against the gas",
    mend="take the line out of the step, or mend it to what the machine file says",
)
