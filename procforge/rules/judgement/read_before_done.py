"""A result read that no check gave.

A `when` or `repeat` reads a result that no check, reading or named test gives, or that stands only after it. What
gives the result for some variants only must be read for those only, unless nothing is done on it in the others.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from procforge.findings import Finding
from procforge.model.base import Variant
from procforge.model.procedure import Check, Measure, Repeat, Step, When
from procforge.rules.base import JUDGEMENT, Case, static_rule
from procforge.rules.common import done_in, unread


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    lost = unread(case)
    demanded = {c for item in case.equipment.items.values() for c in getattr(item, "judged_by", ())}
    given: dict[str, int] = {}
    for number, work in enumerate(case.works):
        if isinstance(work, (Step, Check, Measure)) and work.result:
            given.setdefault(work.result, number)
    missing = _missing(case)
    for number, work in enumerate(case.works):
        if isinstance(work, (When, Repeat)):
            first = given.get(work.check)
            if first is None and _name(work.check) in lost:
                continue
            if first is None:
                close = get_close_matches(work.check, given, 1, 0.6)
                meant = next((w for w in case.works if close and getattr(w, "result", "") == close[0]), None)
                if isinstance(meant, Check) and _name(work.check) in demanded and meant.name not in demanded:
                    message = f"this check is called `{meant.name}`; what is read is `{_name(work.check)}`"
                    yield RULE.finding(meant.where, message, f"did you mean `{_name(work.check)}`?")
                    continue
                yield RULE.finding(
                    work.check_where,
                    f"no check gives a result `{_name(work.check)}`",
                    f"did you mean `{_name(close[0])}`?" if close else "",
                )
            elif first > number and isinstance(work, When):
                yield RULE.finding(work.check_where, f"`{_name(work.check)}` is read before it is done")
            elif missing[number]:
                names = tuple(sorted(v.name for v in missing[number]))
                message = f"no check gives a result `{_name(work.check)}` in {'; '.join(names)}"
                yield RULE.finding(work.check_where, message, variants=names)


def _missing(case: Case) -> list[frozenset[Variant]]:
    """For each statement the variants in which it reads a result that nothing gives before it (in a repeat: anywhere)."""
    listed = done_in(case)
    ever: dict[str, frozenset[Variant]] = {}
    for work, here in listed:
        if result := getattr(work, "result", ""):
            ever[result] = ever.get(result, frozenset()) | here
    before: dict[str, frozenset[Variant]] = {}
    found = []
    for work, here in listed:
        if isinstance(work, (When, Repeat)):
            givers = before if isinstance(work, When) else ever
            asked = here if isinstance(work, Repeat) else frozenset(v for v in here if _does(work, v))
            found.append(asked - givers.get(work.check, frozenset()))
            continue
        if result := getattr(work, "result", ""):
            before[result] = before.get(result, frozenset()) | here
        found.append(frozenset())
    return found


def _does(work: When, variant: Variant) -> bool:
    """Whether either way of a branch has something to do in the variant; if not, its result makes no difference."""
    return any(inner.only_for.holds(variant) for inner in (*work.body, *work.otherwise))


def _name(result: str) -> str:
    """As it is written: a round of `for each` adds its member, and one slip is one finding."""
    return result.partition(" of ")[0]


RULE = static_rule(
    __doc__,
    "read-before-done",
    JUDGEMENT,
    "common practice",
    find,
    waivable=False,
    why="there is no result to go by",
    mend="do the check before its result is read",
)
