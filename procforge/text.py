"""A text the user wrote, and places in it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """One file as read: its path as the user gave it, and its lines without line ends."""

    path: str
    lines: tuple[str, ...] = field(repr=False)

    @classmethod
    def of(cls, path: str, text: str) -> Source:
        """A source from text whose line ends are any of LF, CRLF or CR."""
        return cls(path, tuple(text.replace("\r\n", "\n").replace("\r", "\n").split("\n")))

    def line(self, number: int) -> str:
        """Line `number`, counted from 1; empty outside the file."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""


class Span(NamedTuple):
    """A place on one line: `line` and `column` from 1, `width` in characters (0: the line as a whole)."""

    source: Source
    line: int
    column: int = 1
    width: int = 0

    @property
    def text(self) -> str:
        """The characters the span covers."""
        line = self.source.line(self.line)
        return line[self.column - 1 : self.column - 1 + self.width] if self.width else line.strip()

    @property
    def place(self) -> str:
        """`file:line:column`, as editors read it."""
        return f"{self.source.path}:{self.line}:{self.column}"


NOWHERE = Span(Source("", ()), 0)
