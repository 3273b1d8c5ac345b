"""Going through an outline: its blanks with the ways they lie on, and its words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass

from procforge.sheet.inline import Blank, Run
from procforge.sheet.outline import Arm, GroupHead, RoundHead, Row, Sheet, Steps


@dataclass(frozen=True, slots=True)
class Entry:
    """A blank, the row or block that owns it, and the heads it lies under, outermost first."""

    blank: Blank
    owner: object
    heads: tuple[Arm | RoundHead | GroupHead, ...] = ()


def entries(sheet: Sheet) -> Iterator[Entry]:
    """Every blank of the sheet in printed order; found by type, so a new kind of block cannot be forgotten."""
    yield from (Entry(blank, sheet.control) for blank in blanks_in(sheet.name_plate))
    yield from (Entry(blank, sheet.control) for blank in blanks_in(sheet.control))
    for block in sheet.blocks:
        if isinstance(block, Steps):
            for row, heads in nested(block.rows):
                yield from (Entry(blank, row, heads) for blank in blanks_in(row))
        else:
            yield from (Entry(blank, block) for blank in blanks_in(block))


def nested(rows: tuple[Row, ...]) -> Iterator[tuple[Row, tuple[Arm | RoundHead | GroupHead, ...]]]:
    """Each row with the heads that hold it; a head is held by the heads outside it, not by itself."""
    open_heads: list[Arm | RoundHead | GroupHead] = []
    for row in rows:
        level = getattr(row, "level", len(open_heads))
        while open_heads and open_heads[-1].level >= level:
            open_heads.pop()
        yield row, tuple(open_heads)
        if isinstance(row, Arm | RoundHead | GroupHead):
            open_heads.append(row)


def blanks_in(thing: object) -> Iterator[Blank]:
    """The blanks inside any part of an outline, in the order of its fields."""
    if isinstance(thing, Blank):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from blanks_in(part)
    elif is_dataclass(thing) and not isinstance(thing, Run):
        for field in fields(thing):
            yield from blanks_in(getattr(thing, field.name))


def words_in(thing: object) -> Iterator[str]:
    """Every string inside any part of an outline that is printed somewhere, in the order of its fields."""
    if isinstance(thing, str):
        if thing:
            yield thing
    elif isinstance(thing, Run):
        yield thing.text
    elif isinstance(thing, tuple):
        for part in thing:
            yield from words_in(part)
    elif is_dataclass(thing) and not isinstance(thing, Blank):
        for field in fields(thing):
            if field.name not in ("anchor", "key", "decision", "repeat", "when", "svg", "drawing"):
                yield from words_in(getattr(thing, field.name))


def repeated_ids(sheet: Sheet) -> tuple[str, ...]:
    """Ids that more than one blank carries, in the order they are met; a sound sheet has none."""
    seen: dict[str, int] = {}
    for entry in entries(sheet):
        seen[entry.blank.id] = seen.get(entry.blank.id, 0) + 1
    return tuple(name for name, count in seen.items() if count > 1)
