"""A house rule that the called procedure has not.

A called procedure does a step that a house rule of the caller speaks of, and has not the rule itself. What is done
inside a called procedure is proved there; without the rule nobody asks it of those steps.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.house import verb_matches
from procforge.findings import Finding
from procforge.model.procedure import Call, HouseRule, Procedure
from procforge.model.tree import walk
from procforge.rules.base import PEOPLE, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Call) and work.file in case.procedure.callees:
            callee = case.procedure.callees[work.file]
            theirs = {r.words for r in callee.house_rules}
            for rule in case.procedure.house_rules:
                if rule.words not in theirs and _speaks_of(rule, callee):
                    yield RULE.finding(work.where, f"`{work.file}` has not the house rule `{rule.text}`")


def _speaks_of(rule: HouseRule, callee: Procedure) -> bool:
    """Whether the called procedure does what the rule asks something of: its second event, or one to be answered."""
    asked = (rule.then, rule.first) if rule.form == "every" else (rule.then,)
    return any(verb_matches(event, work) for work in walk(callee.body) for event in asked)


RULE = static_rule(
    __doc__,
    "house-rule-not-shared",
    PEOPLE,
    "the house rule",
    find,
    why="the rule is proved in the procedure that has it, and in no other",
    mend="put the rule into a file of its own, and `use` it in both",
)
