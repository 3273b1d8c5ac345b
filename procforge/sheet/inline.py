"""What stands inside a line or a cell of the sheet: words, references and blanks to fill."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from procforge.sheet.english import minus

_ID = re.compile(r"[^\s\x00-\x1f\x7f]{1,64}\Z")


class BlankKind(StrEnum):
    """What is entered in a blank; each format picks its control, and readback its reading, by it."""

    TICK = "tick"
    INITIALS = "initials"
    DATE = "date"
    TIME = "time"
    READING = "reading"  # a measured value with a unit, judged by low and high
    NUMBER = "number"  # a count or a number read off something (lock, permit, work order)
    SERIAL = "serial"
    CHOICE = "choice"  # one of `choices`
    TEXT = "text"
    SIGN = "sign"


@dataclass(frozen=True, slots=True)
class Blank:
    """One place to fill.

    `id` is stable over printings and revisions as long as the thing it belongs to keeps its identity: 1 to 64
    characters, no white space, never made from a printed number. `low` and `high` are decimal numbers as text in
    `unit` ("" = no bound), the same that stand in the printed limit. `role` says who fills it; `other_than` is the id
    of a blank that another person must have filled. `required` is false for what may stay empty (remarks). `second` is
    the limit in the site's second unit, as printed, never wider than `low` to `high`.
    """

    id: str
    kind: BlankKind
    label: str = ""
    unit: str = ""
    choices: tuple[str, ...] = ()
    low: str = ""
    high: str = ""
    role: str = ""
    other_than: str = ""
    required: bool = True
    second: str = ""

    def __post_init__(self) -> None:
        """Refuse an id that a format could not carry, and a choice without choices."""
        if not _ID.match(self.id):
            raise ValueError(f"blank id must be 1 to 64 characters without white space: {self.id!r}")
        if (self.kind is BlankKind.CHOICE) != bool(self.choices):
            raise ValueError(f"blank {self.id}: choices belong to kind choice, and kind choice needs them")


@dataclass(frozen=True, slots=True)
class Run:
    """Words in one manner: `strong`, `small` (a second unit), or a reference `to` an anchor of the same sheet."""

    text: str
    strong: bool = False
    small: bool = False
    to: str = ""


Inline: TypeAlias = str | Run | Blank
Prose: TypeAlias = str | tuple[str | Run, ...]
"""Words without blanks: a plain string or runs in order."""
Cell: TypeAlias = Inline | tuple[Inline, ...]
"""What a table cell holds; a tuple is set one after the other in the cell, after a part "\\n" on a new line."""


def plain(cell: Cell) -> str:
    """The words of a cell without manner; a blank gives its label."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, Run):
        return cell.text
    if isinstance(cell, Blank):
        return cell.label
    return "".join(plain(part) for part in cell)


def bounds(blank: Blank) -> str:
    """The limit of a reading in words, with its unit (and a minus sign, not a hyphen): "0 to 0.05 bar(g)", "0.2 mm or less"; "" without a bound."""
    unit = f"\u00a0{blank.unit}" if blank.unit else ""
    low, high = minus(blank.low), minus(blank.high)
    if low and high:
        return f"{low} to\u00a0{high}{unit}"
    if high:
        return f"{high}{unit} or less"
    return f"{low}{unit} or more" if low else ""


def limit_words(blank: Blank) -> Prose:
    """The limit as printed: `bounds`, and the second unit smaller behind it."""
    text = bounds(blank)
    return (text, Run(f" ({blank.second})", small=True)) if text and blank.second else text
