"""No machine.

A procedure acts on a machine: use "….equip".
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if not case.equipment.name and case.works and not case.procedure.doubtful and not unread(case) & {"use"}:
        yield RULE.finding(case.procedure.where, "the procedure uses no machine")


RULE = static_rule(
    __doc__,
    "machine-missing",
    PEOPLE,
    "the language reference, grammar/README.md",
    find,
    why="without a machine nothing can be proved",
    mend='write use "….equip"',
)
