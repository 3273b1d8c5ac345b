"""The work of all variants as one table a section: rows aligned by what they are, lines by what they say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import PurePath

from procforge.model.procedure import Procedure
from procforge.model.tree import walk
from procforge.sheet.fields import choice, entry, field_id, tick
from procforge.sheet.inline import BlankKind, Run
from procforge.sheet.labels import Labels
from procforge.sheet.numbering import numbers
from procforge.sheet.outline import Sheet
from procforge.sheet.review_align import Aligned, align, ways
from procforge.sheet.review_lines import identity, key_of, kind_of, lines_of, words_of
from procforge.sheet.review_names import VariantNames
from procforge.sheet.review_rows import Band, Line, ReviewKind, ReviewRow
from procforge.sheet.rows import Arm, RoundHead, Row, StepRow, WhereWeAre
from procforge.sheet.walk import nested

_COMMENTED = frozenset({ReviewKind.STEP, ReviewKind.HOLD, ReviewKind.DECISION, ReviewKind.STOP})


class ReviewWork:
    """Makes the rows of the review print from the rows of each variant's sheet, in the order of `names`."""

    def __init__(self, procedure: Procedure, sheets: Sequence[Sheet], names: VariantNames, labels: Labels) -> None:
        self._names = names
        self._labels = labels
        self._file = procedure.file
        self._places = {work.id: work.where for work in walk(procedure.body) if work.id}
        self._ref = numbers(procedure)
        self._sheets: list[Mapping[str, str]] = [numbers(procedure, variant) for variant in names.variants]
        self._pages = [{b.key: b for b in sheet.blocks if isinstance(b, WhereWeAre)} for sheet in sheets]
        self._taken: set[str] = set()

    def rows(self, sides: Sequence[Sequence[Row]]) -> tuple[ReviewRow, ...]:
        """One section: `sides` has its rows on each variant's sheet."""
        kept = [[row for row in once(tuple(side)) if not _signs(row)] for side in sides]
        found = align(kept, identity, lambda row: getattr(row, "level", 0))
        return tuple(self._row(aligned) for aligned in found)

    def end(self, number: str, title: str) -> ReviewRow:
        """Who reviewed the section, and what came of it."""
        key = field_id(f"review.section.{title or number}".replace(" ", "-"))
        blanks = (
            choice(key, "result", "Result", ("agreed", "agreed with comments", "not agreed")),
            entry(key, "name", BlankKind.TEXT, "Reviewer"),
            entry(key, "date", BlankKind.DATE, "Date"),
        )
        words = (Line((Run(f"Section {number} reviewed", strong=True),)),)
        return ReviewRow(ReviewKind.SIGN, "", (Band((("", words),)),), blanks=blanks)

    def _row(self, aligned: Aligned[Row]) -> ReviewRow:
        row, having = aligned.first, aligned.having
        told = [self._lines(item, at) for at, item in enumerate(aligned.items) if item is not None]
        key, kind = key_of(row), kind_of(row)
        ident = self._ident(key)
        number = "" if isinstance(row, RoundHead) else str(getattr(row, "number", ""))
        shown = number or (row.label if isinstance(row, Arm) else "")
        agree = comment = None
        if kind in _COMMENTED or isinstance(row, WhereWeAre):
            name = self._name(key or row_words(row))
            agree = tick(name, label="Agreed")
            comment = entry(name, "comment", BlankKind.TEXT, "Comment", required=False)
        return ReviewRow(
            kind, shown, bands(told, having, self._names),
            self._place(ident), self._names.some(having), self._numbers(ident, number, having), agree, comment,
            level=getattr(row, "level", 0), anchor=getattr(row, "anchor", ""),
        )  # fmt: skip

    def _lines(self, row: Row, at: int) -> tuple[Line, ...]:
        made = lines_of(row, self._labels)
        page = self._pages[at].get(row.key) if isinstance(row, StepRow) and row.key else None
        if page is not None:
            made += tuple(Line(text, f"{self._labels.where}, {name}") for name, text in page.state)
            made += tuple(Line(text, self._labels.come_back) for text in page.come_back)
        return made

    def _ident(self, key: str) -> str:
        """The identity in the model behind the key of a row: without its answer, fastener or round."""
        while key and key not in self._places:
            cut = max(key.rfind(mark) for mark in "/:#.")
            key = key[:cut] if cut > 0 else ""
        return key

    def _place(self, ident: str) -> str:
        where = self._places.get(ident)
        if where is None or not where.line:
            return ""
        other = where.source.path != self._file
        return (f"{PurePath(where.source.path).name}, " if other else "") + f"line\u00a0{where.line}"

    def _numbers(self, ident: str, number: str, having: tuple[int, ...]) -> tuple[str, ...]:
        """`Dry gas: 1.5`, where the field sheet of some variants has another number."""
        common = self._ref.get(ident, "")
        if not common or not number.startswith(common):
            return ()
        own = [self._sheets[at].get(ident, "") for at in having]
        out = []
        for one, members in ways(own).forms:
            if one and one != common:
                some = self._names.some([having[m] for m in members]) or "all"
                out.append(f"{some}: {one}{number[len(common) :]}")
        return tuple(out)

    def _name(self, key: str) -> str:
        name = field_id(f"review.{key}")
        while name in self._taken:
            name = field_id(f"{name}~")
        self._taken.add(name)
        return name


def bands(told: Sequence[tuple[Line, ...]], having: Sequence[int], names: VariantNames) -> tuple[Band, ...]:
    """Lines common to all that have the row, and between them what differs, grouped by the variants that agree."""
    out: list[Band] = []
    common: list[Line] = []
    apart: list[list[Line]] = [[] for _ in told]

    def close() -> None:
        if common:
            out.append(Band((("", tuple(common)),)))
            common.clear()
        if any(apart):
            forms = ways([tuple(lines) for lines in apart]).forms
            out.append(Band(tuple((names.some([having[m] for m in members]), lines) for lines, members in forms)))
            for lines in apart:
                lines.clear()

    for row in align(told, lambda line: (line.label, line.signal, words_of(line.text))):
        shared = len(row.having) == len(told)
        if (shared and any(apart)) or (not shared and common):
            close()
        if shared:
            common.append(row.first)
        else:
            for at in row.having:
                item = row.items[at]
                assert item is not None
                apart[at].append(item)
    close()
    return tuple(out)


def once(rows: tuple[Row, ...]) -> list[Row]:
    """The rows without the later rounds of a repeat, which say what the first says; what the last rejection opens stays."""
    out: list[Row] = []
    for row, heads in nested(rows):
        later = next((h for h in heads if isinstance(h, RoundHead) and h.number > 1), None)
        if isinstance(row, RoundHead):
            if row.number > 1:
                continue
            text = f"Rounds 1 to {row.most} alike. {row.text}" if row.most > 1 else row.text
            row = replace(row, text=text)
        elif later is not None:
            under = next((h for h in heads if isinstance(h, Arm) and _last(h, later)), None)
            if under is None and not (isinstance(row, Arm) and _last(row, later)):
                continue
            if isinstance(row, Arm) and _last(row, later):
                row = replace(row, text=f"in round {later.number}, the last:")
        out.append(row)
    return out


def _last(arm: Arm, head: RoundHead) -> bool:
    return head.number == head.most and arm.level == head.level + 1 and arm.key.endswith("/rejected") and not arm.goes


def _signs(row: Row) -> bool:
    """Whether a row is where a section is signed in the field."""
    return isinstance(row, StepRow) and not row.number and row.initials is not None and row.key.startswith("section.")


def row_words(row: Row) -> str:
    """A name for a row that has no key."""
    return "-".join("-".join(identity(row)).split())
