"""Typed nodes: one class for each form of the statement grammar, named as its rule.

A node knows nothing of its line: equal lines share one node. Words carry their place within the
statement (`row`, `column`); the `Item` that holds the node knows the line it starts on.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from procforge.text import Source, Span


class Word(str):
    """A name, number or text as written, with its place in the statement (row from 0, column from 1)."""

    __slots__ = ("column", "row", "width")
    row: int
    column: int
    width: int

    @classmethod
    def at(cls, value: str, row: int, column: int, width: int) -> Word:
        word = cls(value)
        word.row = row
        word.column = column
        word.width = width
        return word


@dataclass(slots=True)
class Qty:
    """A number with its unit, unread: `60 N.m`."""

    number: Word
    unit: Word


@dataclass(slots=True)
class Object:
    """A thing a step acts on: `cover of outlet-pocket`, `valve-gasket new`."""

    name: Word
    of: Word | None = None
    new: Word | None = None


@dataclass(slots=True)
class Single:
    """One isolator, spade or other device that isolates by itself."""

    name: Word


@dataclass(slots=True)
class Double:
    """Two blocks with an open bleed between them (the bleed may be missing: a fault found later)."""

    first: Word
    second: Word
    bleed: Word | None = None


@dataclass(slots=True)
class Condition:
    """`cover-nuts torqued`, `cover of outlet-pocket not in`."""

    name: Word
    of: Word | None
    negated: Word | None
    state: Word


@dataclass(slots=True)
class Tolerance:
    """`+/- 5 %`."""

    sign: Word
    number: Word
    unit: Word | None = None


@dataclass(slots=True)
class Named:
    """A name with an optional title."""

    name: Word
    title: Word | None = None


@dataclass(slots=True)
class Event:
    """`cylinder opened`."""

    name: Word
    of: Word | None
    what: Word


@dataclass(slots=True)
class Between:
    """Limits from low to high; the low one may leave its unit to the high one."""

    low: Qty | Word
    high: Qty


@dataclass(slots=True)
class AtMost:
    """An upper limit only."""

    high: Qty


@dataclass(slots=True)
class AtLeast:
    """A lower limit only."""

    low: Qty


@dataclass(slots=True)
class Modifier:
    """One ending of a step: its kind (`with`, `at`, `by`, `turn`, `to`, `only`, `as`, `from`) and its words."""

    kind: str
    words: tuple[Word, ...] = ()
    qty: Qty | None = None


@dataclass(slots=True)
class Line:
    """A statement: the rule that read it and its parts in grammar order."""

    form: str
    parts: tuple[object, ...]


@dataclass(slots=True)
class Step:
    """`step VERB objects modifiers`; a free instruction has `text` instead of objects."""

    verb: Word
    objects: tuple[Object, ...]
    text: Word | None
    modifiers: tuple[Modifier, ...]


@dataclass(slots=True)
class Unread:
    """A line that could not be read: a hole. Its names may have meant anything."""

    words: tuple[str, ...]
    opener: str


@dataclass(slots=True)
class Item:
    """One statement with what belongs to it: property lines, prose and the arms of a block.

    `partial`: a line under it could not be read.
    """

    form: str
    node: Line | Step | Unread
    line: int
    props: list[Item] = field(default_factory=list)
    prose: list[tuple[int, Word]] = field(default_factory=list)
    arms: list[Arm] = field(default_factory=list)
    partial: bool = False

    def span(self, source: Source, word: Word | None = None) -> Span:
        """The place of a word of this statement, or of the statement's first line."""
        if word is None:
            text = source.line(self.line)
            stripped = text.strip()
            return (
                Span(source, self.line, text.find(stripped) + 1, len(stripped)) if stripped else Span(source, self.line)
            )
        return Span(source, self.line + word.row, word.column, word.width)


@dataclass(slots=True)
class Arm:
    """One way of a block: `yes`, `otherwise`, a lane, or the body itself (its head is the opener)."""

    head: Item
    body: list[Item] = field(default_factory=list)


@dataclass(slots=True)
class File:
    """A file as read: its statements in order, blocks nested; `holes` are the lines that could not be read."""

    source: Source
    items: list[Item] = field(default_factory=list)
    holes: list[Item] = field(default_factory=list)
