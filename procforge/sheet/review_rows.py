"""The rows of the review print: what is common once, what differs side by side under the names of its variants."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from procforge.sheet.inline import Blank, Prose
from procforge.sheet.rows import Signal


class ReviewKind(StrEnum):
    """What a row of the review print stands for."""

    STEP = "step"
    HOLD = "hold"
    DECISION = "decision"
    ARM = "arm"
    HEAD = "head"
    STOP = "stop"
    PLAIN = "plain"
    SIGN = "sign"


@dataclass(frozen=True, slots=True)
class Line:
    """One line: `label` ("Expect") or the signal word of a hazard before its words."""

    text: Prose
    label: str = ""
    signal: Signal | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """Lines that stand together. One way without a name: common to all that have the row. Several: side by side.

    Each way has the names of its variants and its lines; a way without lines has nothing of the kind.
    """

    ways: tuple[tuple[str, tuple[Line, ...]], ...]

    @property
    def common(self) -> bool:
        """Whether the lines hold for every variant that has the row."""
        return len(self.ways) == 1 and not self.ways[0][0]


@dataclass(frozen=True, slots=True)
class ReviewRow:
    """One row. `place` is the line of the source, `only` the variants that have it ("" for all).

    `sheets` gives
    the number on the field sheet of some variants where it is another one ("Dry gas: 1.5"). `blanks` are the review's
    own: agreement and comment; nothing of the work can be entered here.
    """

    kind: ReviewKind
    number: str
    bands: tuple[Band, ...]
    place: str = ""
    only: str = ""
    sheets: tuple[str, ...] = ()
    agree: Blank | None = None
    comment: Blank | None = None
    blanks: tuple[Blank, ...] = ()
    level: int = 0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class ReviewSteps:
    """One table of the review print; `head` names its columns: number, words, agreed, comment."""

    rows: tuple[ReviewRow, ...]
    head: tuple[str, str, str, str] = ("Step", "Instruction", "Agreed", "Comment")
    anchor: str = ""
