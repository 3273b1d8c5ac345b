"""Edits of a procedure's text, one statement at a time, and what the validator says of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from procforge.findings import Finding, Severity
from procforge.resolve.load import Library
from procforge.stages import check_file
from procforge.syntax.lines import logical_lines
from procforge.syntax.nodes import Item, Step
from procforge.syntax.parse import parse
from procforge.text import Source

ROOT = Path(__file__).parents[1]
PROCEDURES = sorted((ROOT / "procedures").rglob("*.proc"))
STATEMENTS = ("step", "check", "measure", "readings", "hold")


@dataclass(frozen=True)
class Statement:
    """A statement of work with the lines it takes, properties and prose included (from 1, inclusive)."""

    item: Item
    first: int
    last: int

    @property
    def verb(self) -> str:
        node = self.item.node
        return str(node.verb) if isinstance(node, Step) else self.item.form


def statements(text: str) -> list[Statement]:
    """Every step, check, reading and hold of a procedure, in written order."""
    source = Source.of("x.proc", text)
    starts = [*sorted(line for line, _ in logical_lines(source).value), len(source.lines) + 1]
    ends = {a: b - 1 for a, b in pairwise(starts)}

    def walk(items: list[Item]) -> Iterator[Item]:
        for item in items:
            yield item
            for arm in item.arms:
                yield from walk(arm.body)

    found = []
    for item in walk(parse(source).value.items):
        if item.form in STATEMENTS:
            lines = [item.line, *(p.line for p in item.props), *(line for line, _ in item.prose)]
            last = ends.get(max(lines), max(lines))
            rows = source.lines
            while last > item.line and not rows[last - 1].split("#")[0].strip():
                last -= 1
            found.append(Statement(item, item.line, last))
    return found


def without(text: str, statement: Statement) -> str:
    """The text with the statement's lines taken out (left blank, so that other lines keep their numbers)."""
    lines = text.split("\n")
    lines[statement.first - 1 : statement.last] = [""] * (statement.last - statement.first + 1)
    return "\n".join(lines)


def swapped(text: str, one: Statement, two: Statement) -> str:
    """The text with two statements, the earlier given first, changed round."""
    lines = text.split("\n")
    first, second = lines[one.first - 1 : one.last], lines[two.first - 1 : two.last]
    return "\n".join([*lines[: one.first - 1], *second, *lines[one.last : two.first - 1], *first, *lines[two.last :]])


def verdict(path: Path, text: str) -> list[Finding]:
    """The findings, notes apart, of a procedure with another text."""
    target = path.resolve()

    def read(asked: Path) -> bytes:
        return text.encode() if asked.resolve() == target else asked.read_bytes()

    return [f for f in check_file(Library(read), path).findings if f.severity > Severity.NOTE]
