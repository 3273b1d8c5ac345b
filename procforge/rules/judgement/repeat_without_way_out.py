"""A repeat without a way out.

After the last rejected round the sheet must say what to do: renew the part, or stop and tell. Or the rounds
never run the check they wait for.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Repeat
from procforge.model.tree import walk
from procforge.rules.base import JUDGEMENT, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    given = {getattr(w, "result", "") for w in case.works}
    for work in case.works:
        if isinstance(work, Repeat):
            if work.times and work.otherwise is None:
                yield RULE.finding(work.where, f"nothing is said for after {work.times} rejected rounds")
            elif work.check in given - {getattr(w, "result", "") for w in walk(work.body)}:
                yield RULE.finding(
                    work.check_where,
                    f"the rounds never run `{work.check.partition(' of ')[0]}`",
                    "put the check into the rounds",
                )


RULE = static_rule(
    __doc__,
    "repeat-without-way-out",
    JUDGEMENT,
    "DOE-STD-1029 (read in part); common practice",
    find,
    why="after the last round the technician stands there with a rejected part",
    mend="add `otherwise` with the way on",
)
