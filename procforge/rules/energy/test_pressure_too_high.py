"""Test pressure above the weakest space.

The test pressure or the charge of a step is above what the weakest space it reaches may take (`test limit`, else its
`pressure`), or above what the supply may give (`up to`). A supply reaches every space it `feeds`. Where the step
gives no pressure, the most that its supply can give is taken.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.machine import Machine
from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.quantities import Quantity, comparable
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import applies, test_limit
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Step) and work.verb in ("pressurise", "leak-test", "charge"):
            machines = (m for m in case.machines if applies(case, work, m.variant))
            told = next((t for m in machines if (t := _too_high(case, work, m))), "")
            if told:
                yield RULE.finding(work.where, told, label="put on here")


def _too_high(case: Case, work: Step, machine: Machine) -> str:
    """What is wrong in a variant, empty if nothing is."""
    supplies = [machine.supplies[t.name] for t in work.tools if t.name in machine.supplies]
    wanted = work.to_amount or work.at_amount
    for supply in supplies:
        if _above(wanted, supply.up_to):
            return f"{wanted} is above the {supply.up_to} that {title(case.equipment, supply.name)} may give"
    given = [wanted] if wanted is not None else [s.up_to for s in supplies]
    for name in dict.fromkeys([*(r.name for r in work.objects), *(s for supply in supplies for s in supply.feeds)]):
        limit = test_limit(machine, name)
        over = next((g for g in given if _above(g, limit)), None)
        if over is not None:
            but = "" if wanted is not None else ", which the supply can give and the step does not limit,"
            return f"{over}{but} is above the {limit} that {title(case.equipment, name)} may take"
    return ""


def _above(wanted: Quantity | None, limit: Quantity | None) -> bool:
    return wanted is not None and limit is not None and comparable(limit, wanted) and wanted > limit


RULE = static_rule(
    __doc__,
    "test-pressure-too-high",
    ENERGY,
    "common practice; the test pressure the maker gives",
    find,
    why="the weakest space the supply reaches sets the limit",
    mend="lower the pressure, or shut the weak space off and say so in the machine",
)
