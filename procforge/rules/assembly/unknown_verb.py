"""A verb that the language does not have.

A step starts with a trade verb of the verb table; `carry-out "…"` is for work that no verb says.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.model.verbs import words
from procforge.rules.base import ASSEMBLY, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    known = words()
    for work in case.works:
        if isinstance(work, Step) and work.verb not in known:
            close = get_close_matches(work.verb, known, 2, 0.6)
            mend = "did you mean " + " or ".join(f"`{c}`" for c in close) + "?" if close else ""
            yield RULE.finding(work.verb_where, f"`{work.verb}` is no verb of the language", mend)


RULE = static_rule(
    __doc__,
    "unknown-verb",
    ASSEMBLY,
    "the language reference, grammar/README.md",
    find,
    waivable=False,
    why="a verb the table does not have has no known effect on the machine",
    mend='use a verb of the table, or carry-out "…"',
)
