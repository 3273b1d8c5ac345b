"""What an unread line casts doubt on: items it stands under or names, and what hangs together with them.

A finding that rests on such an item is withheld: the line may have said otherwise. The file counts as not proved.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from procforge.analysis.proof import Fault
from procforge.findings import Finding
from procforge.rules.base import Case

#: Fields of an item that name other items.
_LINKS = (
    "held_by", "sealed_by", "over", "near", "guards", "holds_back", "looks_like", "made_of", "protects", "inlet_isolated",
    "stands_in", "feeds", "turned_by", "relieved_by", "blocked_by", "closes", "gauges", "vents", "root", "through", "gags", "inside",
)  # fmt: skip


class Doubt:
    """The items in doubt of one case; empty where every line was read."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.names: set[str] = set()
        procedure = case.procedure
        self.partial = {(w.source.path, w.line) for w in procedure.partial}
        self.words = set(procedure.doubtful)
        if self.partial or self.words:
            self.names = self._spread()

    def _spread(self) -> set[str]:
        items = self.case.equipment.items
        struck = {
            n for n, i in items.items()
            if i.base in self.words or i.name in self.words or (i.where.source.path, i.where.line) in self.partial
        }  # fmt: skip
        found = set(struck)
        for name, item in items.items():
            linked = {n for field in _LINKS for n in _named(getattr(item, field, ()))}
            if name in struck:
                found |= linked & set(items)
            elif linked & struck or (self._own_lines(item) & self.words):
                found.add(name)
        return found

    def _own_lines(self, item: Any) -> set[str]:
        """The words of the lines under an item's definition: a name lost there is in no field any more."""
        source, number = item.where.source, item.where.line
        words: set[str] = set()
        for row in range(number + 1, min(number + 40, len(source.lines) + 1)):
            line = source.line(row)
            if line.strip() and not line[0].isspace():
                break
            words |= set(line.replace(",", " ").replace("(", " ").replace(")", " ").split())
        return words

    def of_fault(self, fault: Fault) -> bool:
        """Whether a fault of the proof rests on an item in doubt."""
        if not self.names and not self.words:
            return False
        must = fault.violation.must
        names = {must.about, *(f.partition(" ")[2].partition(" / ")[0] for way in must.formula for f, _ in way)}
        names |= {r.name for r in getattr(fault.work, "objects", ())}
        return bool(names & self.names) or (bool(self.words) and must.rule == "house-rule-broken")

    def of_finding(self, finding: Finding) -> bool:
        """Whether another finding stands at a statement or item in doubt."""
        path, line = finding.span.source.path, finding.span.line
        if (path, line) in self.partial or finding.span.text in self.words:
            return True
        if not self.names:
            return False
        best: Any = None
        for work in self.case.works:
            if (
                work.where.source.path == path
                and work.where.line <= line
                and (best is None or work.where.line >= best.where.line)
            ):
                best = work
        if best is not None and path == self.case.procedure.file and line - best.where.line < 30:
            refs = [*getattr(best, "objects", ()), *getattr(best, "tools", ()), *getattr(best, "sees", ())]
            at = getattr(best, "at", None)
            return any(r.name in self.names for r in (*refs, *((at,) if at is not None else ())))
        owner = max(
            (i for i in self.case.equipment.items.values() if i.where.source.path == path and i.where.line <= line),
            key=lambda i: i.where.line, default=None,
        )  # fmt: skip
        return owner is not None and owner.name in self.names


def _named(value: Any) -> Iterator[str]:
    """The names in a field, whatever its shape."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, (tuple, list)):
        for entry in value:
            yield from _named(entry)
    elif hasattr(value, "value"):
        yield from _named(value.value)
    elif hasattr(value, "blocks"):
        yield from value.blocks
        if value.bleed:
            yield value.bleed
    elif hasattr(value, "valve"):
        yield value.valve
