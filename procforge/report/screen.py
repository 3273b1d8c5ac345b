"""What a stream can show: the user's characters made visible, safe and measured, and plain ANSI colour."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

Style = Literal["error", "warning", "note", "frame", "strong", "faint"]

CODES: dict[Style, str] = {
    "error": "1;31",
    "warning": "1;33",
    "note": "1;36",
    "frame": "34",
    "strong": "1",
    "faint": "2",
}

TAB_STOP = 4
MOST_COMBINING = 3
"""Combining marks shown on one letter; a tower of them would cover the lines around it."""

PLAIN = re.compile(r"[ -~]*")
BLANKS = re.compile(r"[ \t\r\n]+")
UNSEEN = frozenset(("Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp", "Zs"))
COMBINING = frozenset(("Mn", "Me"))


class Cell(NamedTuple):
    """One character of a text as shown, and the columns it takes."""

    shown: str
    columns: int


@dataclass(frozen=True, slots=True)
class Screen:
    """A stream with an encoding; `colour` asks for ANSI codes."""

    encoding: str = "utf-8"
    colour: bool = False

    def paint(self, text: str, style: Style) -> str:
        """`text`, already safe, in a style; as it is where no colour was asked for."""
        return f"\x1b[{CODES[style]}m{text}\x1b[0m" if self.colour and text else text

    def cells(self, text: str, at_line_start: bool = True) -> Iterator[Cell]:
        """The characters of `text` one by one.

        Controls, bidirectional marks, invisible and odd-width spaces and whatever the encoding lacks are shown by
        code point, as `<U+202E>`. A tab in the indent goes to the next stop of four columns; elsewhere it is `<TAB>`.
        """
        column, combining = 0, MOST_COMBINING if at_line_start else 0
        indent = at_line_start
        for char in text:
            indent = indent and char in " \t"
            if " " <= char <= "~":
                cell = Cell(char, 1)
            elif char == "\t":
                width = TAB_STOP - column % TAB_STOP
                cell = Cell(" " * width, width) if indent else Cell("<TAB>", 5)
            else:
                cell = self._cell(char, combining)
            combining = combining + 1 if cell.columns == 0 else 0
            column += cell.columns
            yield cell

    def _cell(self, char: str, combining: int) -> Cell:
        kind = unicodedata.category(char)
        if kind in UNSEEN or (kind in COMBINING and combining >= MOST_COMBINING) or not self._has(char):
            shown = f"<U+{ord(char):04X}>"
            return Cell(shown, len(shown))
        if kind in COMBINING:
            return Cell(char, 0)
        return Cell(char, 2 if unicodedata.east_asian_width(char) in "WF" else 1)

    def _has(self, char: str) -> bool:
        try:
            char.encode(self.encoding)
        except UnicodeEncodeError:
            return False
        return True

    def safe(self, text: str, most: int = 0) -> str:
        """`text` made safe to print; longer than `most` columns (0: no limit) it loses its middle."""
        if PLAIN.fullmatch(text) and (not most or len(text) <= most):
            return text
        if not most:
            return joined(self.cells(text))
        # A little more than can fit is enough to know that the text is too long; the rest is never measured.
        deep = MOST_COMBINING + 1
        head = fitting(self.cells(text[: most * deep + 1]), most)
        if len(head) == len(text):
            return joined(head)
        half = (most - len(" ... ")) // 2
        tail = list(self.cells(text[-half * deep :], at_line_start=False))
        return f"{joined(fitting(head, half))} ... {joined(fitting(reversed(tail), half)[::-1])}"

    def prose(self, text: str, most: int = 0) -> str:
        """`safe` for a sentence of ours, which may have been written over several lines."""
        return self.safe(BLANKS.sub(" ", text).strip(), most)

    def width(self, shown: str) -> int:
        """The columns that a text which is already safe takes."""
        return len(shown) if PLAIN.fullmatch(shown) else sum(cell.columns for cell in self.cells(shown))


def joined(cells: Iterable[Cell]) -> str:
    """The text that cells show."""
    return "".join(cell.shown for cell in cells)


def fitting(cells: Iterable[Cell], columns: int) -> list[Cell]:
    """The first cells that fit into `columns`."""
    kept = []
    for cell in cells:
        columns -= cell.columns
        if columns < 0:
            break
        kept.append(cell)
    return kept
