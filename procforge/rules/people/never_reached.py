"""A step that is never reached.

No path of any variant comes to this step: it stands after a stop, or is for variants that its block leaves out.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.proof import variants_of
from procforge.findings import Finding
from procforge.model.base import Variant
from procforge.model.procedure import AnyWork
from procforge.model.tree import bodies
from procforge.rules.base import PEOPLE, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.proof.unreached:
        yield RULE.finding(work.where, "no path comes to this step")
    declared = variants_of(case.procedure)
    for work in _shut_out(case.procedure.body, declared):
        if any(work.only_for.holds(v) for v in declared):
            yield RULE.finding(work.where, f"the block around it is never for {work.only_for.words}")


def _shut_out(body: tuple[AnyWork, ...], variants: tuple[Variant, ...]) -> Iterator[AnyWork]:
    """Statements for variants that no block around them lets in; the outermost of each."""
    for work in body:
        there = tuple(v for v in variants if work.only_for.holds(v))
        if there:
            for inner in bodies(work):
                yield from _shut_out(inner, there)
        elif variants and work.only_for.words:
            yield work


RULE = static_rule(
    __doc__,
    "never-reached",
    PEOPLE,
    "common practice",
    find,
    why="the sheet prints work that nobody can come to",
    mend="take it out, or open the way to it",
)
