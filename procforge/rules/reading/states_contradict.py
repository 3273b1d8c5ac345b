"""States that contradict each other.

The `starts` lines say two opposite things of one item for one variant, or the `leaves` lines do.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.states import word_literals
from procforge.findings import Finding
from procforge.rules.base import READING, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for listed in (case.procedure.starts, case.procedure.leaves):
        told = set()
        for machine in case.machines:
            known: dict[str, bool] = {}
            for state in listed:
                for fact, value in word_literals(machine, state):
                    if known.setdefault(fact, value) is not value and state.where not in told:
                        told.add(state.where)
                        named = title(case.equipment, state.name) if state.name in machine.items else state.name
                        yield RULE.finding(
                            state.where, f"the opposite is said of {named} before", label="and this here"
                        )


RULE = static_rule(
    __doc__,
    "states-contradict",
    READING,
    "the language reference, grammar/README.md",
    find,
    waivable=False,
    why="the proof would start from, or ask for, what cannot be",
    mend="keep the one that is so",
)
