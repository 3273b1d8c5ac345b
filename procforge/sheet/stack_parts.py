"""What a stack picture is made of: layers and what holds them, in words and in their places."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from procforge.sheet.typeset import Lettered


class Kind(Enum):
    """What a layer is."""

    PART = 1
    SEAL = 2
    SPACE = 3


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer in words: its name, further words, and the steps that take it out and put it in."""

    kind: Kind
    name: str
    words: str = ""
    steps: str = ""


@dataclass(frozen=True, slots=True)
class Hold:
    """What holds a layer: fasteners, each as (name, size, steps); `first` is the outermost layer they go through."""

    held: str
    first: str
    fasteners: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Manner:
    """How roomy a stack is set: between rows (a bolt's head stands there), above and below words, sizes in points."""

    gap: float
    pad: float
    name: float
    words: float


#: The roomiest that fits a page is taken.
MANNERS = (Manner(3.8, 1.6, 10.5, 9.0), Manner(2.7, 0.8, 10.5, 9.0), Manner(2.7, 0.8, 9.5, 8.0))


@dataclass(slots=True)
class Cell:
    """A layer in its place: row, first and last column, lines of text, the side its label stands on."""

    layer: Layer
    row: int
    first: int
    last: int
    lines: list[Lettered] = field(default_factory=list)
    aside: str = ""  # steps that stand at the right end of the first line
    beside: bool = False
    left: float = 0.0
    right: float = 0.0
    inset: float = 0.0
    outset: float = 0.0


@dataclass(slots=True)
class Bolt:
    """A hold in its place: `side` of its label ("left", "right", "" for in the block); `lanes` from the edge."""

    hold: Hold
    rows: tuple[int, int]
    side: str
    lane: int = 0
    lines: list[Lettered] = field(default_factory=list)
