"""A verb on a thing it cannot act on.

A verb acts on some kinds of item only: a space is vented, a fastener tightened, a seal fitted.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.model.verbs import is_free, row_for, words
from procforge.rules.base import ASSEMBLY, Case, static_rule
from procforge.rules.common import ISOLATING, on_nothing


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    known = words()
    for work in case.works:
        if not isinstance(work, Step) or work.verb not in known or is_free(work.verb):
            continue
        if not work.objects and not work.text and not on_nothing(work.verb):
            yield RULE.finding(work.where, f"`{work.verb}` acts on nothing", "name what it acts on")
        for ref in work.objects:
            kind = getattr(case.equipment.items.get(ref.name), "kind", "")
            moved = kind in ("isolator", "valve") and work.verb in ("open", "shut", "switch-on", "switch-off")
            if kind == "check-valve" and work.verb in ISOLATING:
                continue  # told by check-valve-counted
            if kind and not moved and row_for(work.verb, kind, ref.new) is None:
                fitting = [
                    v
                    for v in known
                    if row_for(v, kind) is not None
                    and v not in ("clean", "inspect", "count", "record", "observe", "support")
                ]
                yield RULE.finding(
                    ref.where,
                    f"`{work.verb}` does not act on a {kind}",
                    f"a {kind} takes: {', '.join(fitting[:8])}" if fitting else "",
                )
            elif work.verb == "charge" and not getattr(case.equipment.items.get(ref.name), "precharged", True):
                yield RULE.finding(
                    ref.where,
                    "`charge` fills a space that keeps a charge, and this one keeps none",
                    "pressurise it, or say `pre-charged` at the space",
                )
            elif (
                ref.new
                and kind
                and row_for(f"{work.verb}-new", kind) is None
                and work.verb not in ("renew", "exchange")
            ):
                yield RULE.finding(ref.where, f"`{work.verb}` takes no `new`", "fit it new, or renew it")


RULE = static_rule(
    __doc__,
    "verb-on-wrong-thing",
    ASSEMBLY,
    "the language reference, grammar/README.md",
    find,
    waivable=False,
    why="the step means nothing to the machine",
    mend="use the verb that fits the thing, or name the thing that fits the verb",
)
