"""Where an arm without rows leads on: the next row that is done after its decision, whatever branch that ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from procforge.sheet.inline import Prose, Run
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    GroupHead,
    GroupKind,
    HoldBar,
    RoundHead,
    Row,
    StepRow,
    StopRow,
    WhereWeAre,
)


def resolved(rows: Sequence[Row], end: str) -> list[Row]:
    """The rows with `goes` filled in for each arm that holds none; `end` is said where nothing follows."""
    out = list(rows)
    for at, row in enumerate(rows):
        if isinstance(row, Arm) and not row.goes and not _holds(rows, at):
            out[at] = replace(row, goes=_target(rows, at, end))
    return out


def _holds(rows: Sequence[Row], at: int) -> bool:
    row = rows[at]
    return at + 1 < len(rows) and getattr(rows[at + 1], "level", 0) > getattr(row, "level", 0)


def _target(rows: Sequence[Row], at: int, end: str) -> Prose:
    level = getattr(rows[at], "level", 0)
    for row in rows[at + 1 :]:
        here = getattr(row, "level", 0)
        if here > level:
            continue  # inside another way
        level = min(level, here)
        match row:
            case Arm() | GroupHead(kind=GroupKind.LANE):
                continue  # another way, or another lane: its rows are deeper
            case RoundHead() if row.number > 1:
                continue  # a further round is only for a rejected one
            case RoundHead() | GroupHead():
                level = here + 1  # go in: what follows is done next
            case StepRow() | DecisionHead() if row.number:
                return ("Go on to ", Run(f"step\u00a0{row.number}", to=row.anchor), ".")
            case DecisionHead():
                return ("Go on to the ", Run("next decision", to=row.anchor), ".")
            case HoldBar():
                return ("Go on to ", Run(f"hold point\u00a0{row.number}", to=row.anchor), ".")
            case StopRow() | WhereWeAre():
                return (
                    ("Go on to ", Run(f"step\u00a0{row.number}", to=row.anchor), ".") if row.number else "Go on below."
                )
    return end
