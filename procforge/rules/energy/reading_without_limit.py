"""A proof or test without a limit.

A pressure is to be proved, or a space tested for leaks or gas, and the step does not say which reading passes.
The sheet then has a blank that nobody can judge. A `limit`, or `expect` where the result is seen and not read,
says it. Trying to start a motor gives no number and is not asked.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if (
            isinstance(work, Step)
            and work.verb in ("prove", "leak-test", "gas-test")
            and work.limit is None
            and not work.expect
        ):
            kinds = {getattr(case.equipment.items.get(r.name), "kind", "") for r in work.objects}
            if "pressure-space" in kinds:
                yield RULE.finding(work.where, f"`{work.verb}` has no limit to judge its reading by", label="read here")


RULE = static_rule(
    __doc__,
    "reading-without-limit",
    ENERGY,
    "29 CFR 1910.147(d)(6)",
    find,
    why="a reading nobody can judge proves nothing",
    mend='write the limit: limit 0 to 0.05 bar(g), limit up to …, or `expect "…"` where the result is seen and not read',
)
