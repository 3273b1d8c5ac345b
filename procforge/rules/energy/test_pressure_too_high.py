"""Test pressure above the weakest space.

The test pressure of a step is above what the weakest space it reaches may take (`test limit`, else its
`pressure`), or above what the supply may give.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.quantities import comparable
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import test_limit
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step) or work.verb not in ("pressurise", "leak-test"):
            continue
        wanted = work.to_amount or work.at_amount
        if wanted is None:
            continue
        for machine in case.machines:
            supplies = [machine.supplies[t.name] for t in work.tools if t.name in machine.supplies]
            reached = dict.fromkeys(
                [*(r.name for r in work.objects), *(s for supply in supplies for s in supply.feeds)]
            )
            limits = [(n, limit) for n in reached if (limit := test_limit(machine, n)) is not None]
            limits += [(s.name, s.up_to) for s in supplies if s.up_to is not None]
            over = [(n, limit) for n, limit in limits if comparable(limit, wanted) and wanted > limit]
            if over:
                n, limit = over[0]
                yield RULE.finding(
                    work.where, f"{wanted} is above the {limit} that {title(case.equipment, n)} may take"
                )
                break


RULE = static_rule(
    __doc__,
    "test-pressure-too-high",
    ENERGY,
    "common practice; the test pressure the maker gives",
    find,
    why="the weakest space the supply reaches sets the limit",
    mend="lower the pressure, or shut the weak space off and say so in the machine",
)
