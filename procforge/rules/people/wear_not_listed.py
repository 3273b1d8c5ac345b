"""Protective wear not listed.

A hazard asks for protective wear that `before starting` does not list: the crew learns of it at the step, not
at the store.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if "before" in unread(case):
        return
    listed = {r.name for r in case.procedure.wear}
    met = {r.name for w in case.works for r in getattr(w, "meets", ())}
    for hazard in case.procedure.hazards:
        if hazard.name in met:
            for ref in hazard.wear:
                if ref.name not in listed:
                    listed.add(ref.name)  # one line under `before starting` mends it for all hazards
                    yield RULE.finding(
                        ref.where, f"`{ref.name}` is asked for here and not listed under `before starting`"
                    )


RULE = static_rule(
    __doc__,
    "wear-not-listed",
    PEOPLE,
    "29 CFR 1910.132(d); common practice",
    find,
    why="what is not brought along is not worn",
    mend="list it under before starting: wear …",
)
