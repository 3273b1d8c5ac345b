"""What the machine file says differently for the variants of a procedure: each value beside the variants it holds for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from procforge.model.base import Valued, Variant, pick
from procforge.model.equipment import Equipment, Scheme, Thing, Torque, Vent
from procforge.quantities import Quantity
from procforge.sheet.english import joined, lower_first, nb, upper_first
from procforge.sheet.inline import Run
from procforge.sheet.review_align import ways
from procforge.sheet.review_names import VariantNames
from procforge.sheet.review_rows import Band, Line, ReviewKind, ReviewRow

#: Fields of which several lines may hold at once for a variant; of all others the closest one counts.
_MANY = frozenset({"feeds", "vents"})
_WORDS = {"closes": "closes", "kinds": "kind", "feeds": "isolated by", "vents": "vented by", "gauges": "proved at", "fluid": "holds", "stock": "stock no."}  # fmt: skip
_NONE = "nothing stated"


def differing_values(equipment: Equipment, names: VariantNames) -> tuple[ReviewRow, ...]:
    """One row for each item, with what differs about it; the values side by side."""
    listed: dict[tuple[str, int, tuple[Band, ...]], list[str]] = {}  # the same item at several places is one row
    for item in equipment.items.values():
        bands = tuple(_bands(equipment, item, names))
        if bands:
            title = upper_first(item.title or item.name.replace("-", " "))
            at = lower_first(equipment.titles.get(item.at, item.at.replace("-", " "))) if item.at else ""
            listed.setdefault((title, item.where.line, bands), []).append(at)
    rows = []
    for (title, line, bands), places in listed.items():
        where = joined([p for p in places if p])
        head = Line((Run(title, strong=True), f", {where}" if where else ""))
        rows.append(ReviewRow(ReviewKind.PLAIN, "", (Band((("", (head,)),)), *bands), f"line\u00a0{line}"))
    return tuple(rows)


def _bands(equipment: Equipment, item: Thing, names: VariantNames) -> Iterator[Band]:
    holds = [item.only_for.holds(v) for v in names.variants]
    if not any(holds):
        return
    if not all(holds):
        yield _band("", ["on the machine" if here else "none" for here in holds], names)
    for field in type(item).model_fields:
        entries = getattr(item, field)
        if not (isinstance(entries, tuple) and entries and isinstance(entries[0], Valued)):
            continue
        texts = [
            _said(equipment, entries, v, many=field in _MANY) if item.only_for.holds(v) else "" for v in names.variants
        ]
        if len({text for text, here in zip(texts, holds, strict=True) if here}) > 1:
            label = upper_first(_WORDS.get(field, field.replace("_", " ")))
            yield _band(label, [text or _NONE for text in texts], names)


def _band(label: str, texts: Sequence[str], names: VariantNames) -> Band:
    return Band(tuple((names.some(members), (Line(text, label),)) for text, members in ways(texts).forms))


def _said(equipment: Equipment, entries: tuple[Valued, ...], variant: Variant, *, many: bool) -> str:
    """The value that holds for a variant, in words; of several lines those of the closest scope."""
    if not many:
        return _words(equipment, pick(entries, variant))
    best = max((e.scope.weight for e in entries if e.scope.holds(variant)), default=0)
    lines = [e.value for e in entries if e.scope.holds(variant) and e.scope.weight == best]
    return "; ".join(_words(equipment, line) for line in lines)


def _words(equipment: Equipment, value: object) -> str:
    def title(name: str) -> str:
        item = equipment.items.get(name)
        return lower_first(item.title or name.replace("-", " ")) if item else name

    match value:
        case None:
            return ""
        case Quantity():
            return nb(value)
        case Torque():
            return f"{nb(value.target)} {nb(value.tolerance)}".strip()
        case Vent():
            bore = f", bore {nb(value.bore)}" if value.bore is not None else ""
            return title(value.valve) + (f" to {value.to.replace('-', ' ')}" if value.to else "") + bore
        case Scheme():
            bleed = f" with {title(value.bleed)} open" if value.bleed else ""
            return joined([title(n) for n in value.blocks]) + bleed
        case tuple():
            made = [_words(equipment, part) for part in value]
            if value and isinstance(value[0], tuple):  # a feed each, with its schemes
                return "; ".join(made)
            return joined(made, "or" if value and isinstance(value[0], Scheme) else "and")
    text = str(value)
    return text if re.search(r"[A-Z\d]", text) else title(text).replace("-", " ")
