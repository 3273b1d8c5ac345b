"""The user's lines with a gutter and the marked places underlined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from procforge.findings import Mark
from procforge.report.screen import Cell, Screen, Style, fitting, joined
from procforge.text import Source

COLUMNS = 100
"""The most columns of a user's line that are shown."""
BEFORE = 30
"""Columns kept before the mark when a line is cut."""
CUT = Cell("...", 3)
LABEL = 300


@dataclass(frozen=True, slots=True)
class Window:
    """The part of a line that is shown: `first` is the index of its first character, `cells` those from there on."""

    line: int
    first: int
    cells: tuple[Cell, ...]
    cut_before: bool
    cut_after: bool

    @classmethod
    def of(cls, screen: Screen, source: Source, line: int, mark: int) -> Window:
        """The window of a line around the character of index `mark`."""
        text = source.line(line)
        if len(text) <= COLUMNS * 4:
            cells = tuple(screen.cells(text))
            if sum(cell.columns for cell in cells) <= COLUMNS:
                return cls(line, 0, cells, False, False)
        room = COLUMNS - 2 * CUT.columns
        mark = max(0, min(mark, len(text) - 1))
        start = max(0, mark - BEFORE * 4)
        lead = list(screen.cells(text[start:mark], at_line_start=start == 0))
        kept = fitting(reversed(lead), BEFORE)[::-1]
        first = mark - len(kept)
        used = sum(cell.columns for cell in kept)
        rest = fitting(screen.cells(text[mark : mark + room * 4], at_line_start=mark == 0), room - used)
        return cls(line, first, (*kept, *rest), first > 0, mark + len(rest) < len(text))

    @property
    def shown(self) -> str:
        """The text of the window, with dots where it is cut."""
        return CUT.shown * self.cut_before + joined(self.cells) + CUT.shown * self.cut_after

    def holds(self, index: int) -> bool:
        """Whether a mark that starts at the character `index` can be drawn here."""
        return (not self.cut_before and not self.cut_after) or self.first <= index < self.first + len(self.cells)

    def underline(self, start: int, width: int) -> tuple[int, int]:
        """Column (from 0) and columns of a mark of `width` characters from index `start`; at least one column."""
        at = max(0, start - self.first)
        before = sum(cell.columns for cell in self.cells[:at])
        inside = sum(cell.columns for cell in self.cells[at : at + width])
        return before + CUT.columns * self.cut_before, max(1, inside)


def extent(mark: Mark) -> tuple[int, int]:
    """Index of the first character and number of characters of a mark on its line; width 0 is the line's text."""
    text = mark.span.source.line(mark.span.line)
    if mark.span.width == 0 and mark.span.column <= 1:
        stripped = text.strip()
        return (text.index(stripped), len(stripped)) if stripped else (0, 1)
    start = min(max(mark.span.column - 1, 0), len(text))
    return start, max(1, min(mark.span.width, len(text) - start))


def lines(marks: Sequence[Mark], main: Mark, style: Style, gutter: int, screen: Screen) -> Iterator[str]:
    """The lines that carry `marks`, all of one file, each underlined; `main` with `^` in `style`, the others with `-`.

    `gutter` is the width of the line numbers. A `:` stands for lines left out.
    """
    bar = screen.paint(" " * gutter + " |", "frame")
    yield bar
    shown = 0
    placed = sorted(
        ((mark, *extent(mark)) for mark in marks), key=lambda item: (item[0].span.line, item[0] is not main)
    )
    for number, group in groupby(placed, key=lambda item: item[0].span.line):
        if shown and number > shown + 1:
            yield screen.paint(" " * gutter + " :", "frame")
        shown = number
        window: Window | None = None
        for mark, start, width in group:
            if window is None or not window.holds(start):
                window = Window.of(screen, mark.span.source, number, start)
                yield screen.paint(f"{number:>{gutter}} |", "frame") + f" {window.shown}".rstrip()
            column, columns = window.underline(start, width)
            sign = "^" if mark is main else "-"
            label = f" {screen.prose(mark.label, LABEL)}" if mark.label.strip() else ""
            pointer = screen.paint(sign * columns + label, style if mark is main else "frame")
            yield f"{bar} {' ' * column}{pointer}"
    yield bar
