"""A result that nothing follows from.

A check of parts has an accept criterion, and no `when` or `repeat` after it reads the result. Whoever rejects
the part is not told what to do.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from procforge.findings import Finding
from procforge.model.base import Variant
from procforge.model.procedure import Check, Repeat, Step, When
from procforge.rules.base import JUDGEMENT, Case, static_rule
from procforge.rules.common import done_in, named, row_reads


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    read = {w.check for w in case.works if isinstance(w, (When, Repeat))}
    given = {r for w in case.works if (r := getattr(w, "result", ""))}
    # a result that is read by a misspelled name is one slip, and the reader has its finding
    lost = read - given
    lost_as = {r for name in lost for r in get_close_matches(name, given - read, 1, 0.6)}
    lost_as |= {r for r in given if r.partition(" of ")[0] in lost}
    read |= lost_as
    readers: dict[str, frozenset[Variant]] = {}
    listed = done_in(case)
    for work, here in listed:
        if isinstance(work, (When, Repeat)):
            readers[work.check] = readers.get(work.check, frozenset()) | here
    for work, here in listed:
        unseen = here - readers.get(getattr(work, "result", ""), frozenset())
        if isinstance(work, Check) and work.result not in read:
            yield RULE.finding(work.where, f"nothing reads the result of `{work.name}`")
        elif isinstance(work, Check) and unseen and work.result not in lost_as:
            names = tuple(sorted(v.name for v in unseen))
            message = f"nothing reads the result of `{work.name}` in {'; '.join(names)}"
            yield RULE.finding(work.where, message, variants=names)
        elif (
            isinstance(work, Step)
            and work.as_name
            and row_reads(work.verb)
            and work.result not in read
            and not named(case, work.as_name)
        ):
            yield RULE.finding(
                work.where, f"nothing reads `{work.as_name}`", "read it with `when`, or take the name off"
            )


RULE = static_rule(
    __doc__,
    "result-never-read",
    JUDGEMENT,
    "common practice",
    find,
    why="a rejection with no way on is passed over",
    mend="write what follows: when … rejected … end",
)
