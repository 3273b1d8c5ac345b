"""A hold that guards nothing.

A hold in a branch, a repeat or a lane guards only the rest of that block. Without `sees` or `before` a way
round it is nobody's fault, and it says nothing. Nor does a hold guard anything that stands before a step which the job
does not have.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Call, Hold, Hole, Step
from procforge.model.verbs import is_free, row_for, words
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import ISOLATING, branch_holds


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for branch in branch_holds(case.procedure.body, False):
        yield RULE.finding(branch.where, f"{branch.point} {branch.name} stands in a branch and guards nothing")
    if not _all_known(case):
        return
    done: dict[str, set[str]] = {}
    for work in case.works:
        if isinstance(work, Step):
            done.setdefault(work.verb, set()).update(r.name for r in work.objects)
    for work in case.works:
        for verb, refs, where in work.before if isinstance(work, Hold) else ():
            names = {r.name for r in refs}
            found = bool(done.get(verb, set()) & names) if names else verb in done
            if verb in words() and not found:
                named = " ".join((verb, ", ".join(r.name for r in refs))).strip()
                yield RULE.finding(where, f"the job has no step `{named}`")


def _all_known(case: Case) -> bool:
    """Whether every step is one that could be read, in this file, of a verb that fits what it acts on."""
    if case.procedure.doubtful or any(isinstance(w, Hole | Call) for w in case.works):
        return False
    steps = [w for w in case.works if isinstance(w, Step) and not is_free(w.verb)]
    for step, ref in ((s, r) for s in steps for r in s.objects):
        kind = getattr(case.equipment.items.get(ref.name), "kind", "")
        moved = kind in ("isolator", "valve") and step.verb in ISOLATING
        if not moved and row_for(step.verb, kind, ref.new) is None:
            return False
    return True


RULE = static_rule(
    __doc__,
    "hold-guards-nothing",
    PEOPLE,
    "common practice",
    find,
    why="a hold that some ways pass by is a signature without meaning",
    mend="say what it stands before: before VERB THING, or what it sees",
)
