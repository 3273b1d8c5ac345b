"""A file set in order: indentation by structure, one space between words; words, comments and prose stay as they are.

Laws, tested: tidying twice changes nothing more; the tidied file reads as the same statements. A line that can't
be read, or that belongs to a statement that can't, stays as it was written.
"""

from __future__ import annotations

from typing import Any

from procforge.syntax.assemble import Assembler
from procforge.syntax.lines import LONGEST_LINE, logical_lines, without_comment
from procforge.syntax.nodes import Item, Word
from procforge.syntax.order import ARMS, BLOCKS, PROPERTIES
from procforge.syntax.parse import Read, feed, read_logical
from procforge.text import Source

STEP = "  "
_CLOSE, _OPEN = frozenset(",):"), frozenset("(")


class _Levels(Assembler):
    """Knows how deep each statement stands: properties and prose one deeper than their head."""

    def __init__(self, source: Source) -> None:
        super().__init__(source)
        self.level = 0
        self._head_level = 0

    def _depth(self) -> int:
        return len(self._stack) - (1 if self._stack and self._stack[0][0].form == "section" else 0)

    def add(self, item: Item) -> None:
        under = item.form in PROPERTIES and self._is_property(item)
        super().add(item)
        if under:
            self.level = self._head_level + 1
            return
        inside = item.form in ARMS or item.form in BLOCKS
        self.level = self._head_level = max(self._depth() - inside, 0)

    def prose(self, line: int, word: Word) -> None:
        super().prose(line, word)
        self.level = self._head_level + 1

    def hole(self, item: Item, meant: tuple[str, ...] = (), text: str = "") -> None:
        before = self._head
        super().hole(item, meant, text)
        if self._head is not before:
            opened = bool(self._stack) and self._stack[-1][1].head is item
            self._head_level = max(self._depth() - opened, 0)
        self.level = self._head_level


def tidy(source: Source) -> str:
    """The source set in order, with a line end after its last line; the empty text for a file of nothing."""
    levels = _Levels(source)
    starts: dict[int, tuple[list[str], int]] = {}
    for logical in logical_lines(source).value:
        for read in read_logical(source, logical):
            feed(levels, read)
            starts[read.line] = (_rows(source, read, levels.level), levels.level)
    lines: list[str] = []
    waiting: list[str] = []  # comments on lines of their own take the place of the statement after them
    number = 1
    while number <= len(source.lines):
        if number in starts:
            rows, level = starts[number]
            lines += [STEP * level + w if w else "" for w in waiting]
            waiting = []
            lines += rows
            number += len(rows)
            continue
        raw = source.line(number).strip()
        if raw or ((waiting or lines) and (waiting or lines)[-1]):
            waiting.append(raw)
        number += 1
    lines += waiting
    while lines and not lines[-1].strip():
        lines.pop()
    return "\n".join(lines) + "\n" if lines else ""


def _rows(source: Source, read: Read, level: int) -> list[str]:
    """The physical lines of one statement, set in order or as they are."""
    count = read.text.count("\n") + 1
    raw = [source.line(read.line + i) for i in range(count)]
    if read.node is None or read.comma is not None:
        return raw
    rows = [r.strip() for r in read.text.split("\n")] if isinstance(read.node, Word) else _spaced(read.text)
    made = []
    for index, (row, written) in enumerate(zip(rows, raw, strict=True)):
        comment = written[len(without_comment(written)) :].strip()
        indent = STEP * (level + (2 if index else 0))
        made.append(f"{indent}{row}{'  ' if row and comment else ''}{comment}" if row or comment else "")
    return raw if any(len(m) > LONGEST_LINE for m in made) else made


def _spaced(text: str) -> list[str]:
    """The rows of a statement, their tokens one space apart."""
    rows: list[list[str]] = [[] for _ in range(text.count("\n") + 1)]
    lines = text.split("\n")
    for line, column, width in _tokens(text):
        rows[line].append(lines[line][column : column + width])
    return [_joined(row) for row in rows]


def _joined(tokens: list[str]) -> str:
    text = ""
    for before, token in zip(["(", *tokens], tokens, strict=False):
        text += token if token in _CLOSE or before in _OPEN else f" {token}"
    return text


def _tokens(text: str) -> list[tuple[int, int, int]]:
    """Row, column and width of each token, all from 0."""
    from procforge.syntax.table import parser

    found: list[tuple[int, int, int]] = []
    session = parser().parse_interactive(text)
    token: Any  # the builder's words, and lark's own tokens for keywords
    for token in session.iter_parse():
        if isinstance(token, Word):
            found.append((token.row, token.column - 1, token.width))
        else:
            found.append((token.line - 1, token.column - 1, len(token)))
    return found
