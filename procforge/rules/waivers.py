"""What waivers cover: one rule at one step each; a waiver that covered nothing is told."""

from __future__ import annotations

from procforge.analysis.proof import Fault
from procforge.findings import Finding
from procforge.model.procedure import AnyWork, Waiver
from procforge.rules.base import Case, Rule
from procforge.rules.common import all_names, not_waivable, waivers
from procforge.text import Span

#: A part that goes back unfit is named by what happened to it last.
_UNFIT = frozenset({"never-judged", "rejected-part-refitted", "rebuilt-part-not-judged"})


class Waivers:
    """The waivers of a case; asking whether one covers a fault notes that it did."""

    def __init__(self, case: Case) -> None:
        self._listed = [(w, v) for w, v in waivers(case) if v.rule in all_names() and v.rule not in not_waivable()]
        self._used: set[Span] = set()

    def cover_fault(self, fault: Fault) -> bool:
        """Whether a fault of the proof is waived at its statement."""
        rule = fault.violation.rule
        names = _UNFIT if rule in _UNFIT else {rule}
        return self._note([v for w, v in self._listed if w is fault.work and v.rule in names])

    def cover_finding(self, rule: Rule, finding: Finding) -> bool:
        """Whether another finding is waived at the statement it stands in."""
        return self._note([v for w, v in self._listed if v.rule == rule.name and _inside(w, v, finding.span)])

    def _note(self, covering: list[Waiver]) -> bool:
        self._used.update(v.where for v in covering)
        return bool(covering)

    def idle(self) -> list[Waiver]:
        """Those that covered nothing, each once."""
        return list({v.where: v for _, v in self._listed if v.where not in self._used}.values())


def _inside(work: AnyWork, waiver: Waiver, span: Span) -> bool:
    return work.where.source is span.source and work.where.line <= span.line <= waiver.where.line
