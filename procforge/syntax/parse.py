"""One file: bytes or text in, a `File` of typed nodes and every mistake of it out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from procforge.findings import Finding, Outcome, Severity
from procforge.syntax.assemble import Assembler
from procforge.syntax.fast import quick
from procforge.syntax.lines import Logical, decode, logical_lines
from procforge.syntax.mistakes import guesses, worded
from procforge.syntax.nodes import File, Item, Line, Step, Unread, Word
from procforge.syntax.order import ALONE, FIRST
from procforge.text import Source, Span

_PROSE = re.compile(r'\s*"([^"\\\n]*)"\s*$')
_NAMES = re.compile(r"[^\W_][\w-]*")
_START = re.compile(r'\s*([^\s",:]+)')


class Read(NamedTuple):
    """One logical line as read: its prose or its node, or the finding of why there is neither.

    `comma`: the finding of a comma at its end that would have joined the next statement to it.
    """

    line: int
    text: str
    node: Line | Step | Word | None
    finding: Finding | None = None
    comma: Finding | None = None


@lru_cache(maxsize=20_000)
def _statement(text: str) -> Line | Step:
    """One statement's node; equal texts share it, for a node knows nothing of its line."""
    plain = quick(text)
    if plain is not None:
        return plain
    from procforge.syntax.table import parser

    return parser().parse(text)  # type: ignore[return-value]  # the builder's nodes, not lark's trees


def parse_bytes(path: str, data: bytes) -> Outcome[File]:
    """A file as it lies on the disk."""
    read = decode(path, data)
    parsed = parse(read.value)
    if read.findings:  # nothing is known of what stands in it
        parsed.value.holes.append(Item("unread", Unread((), ""), 1))
    return Outcome(parsed.value, read.findings + parsed.findings)


def parse(source: Source) -> Outcome[File]:
    """Every statement of the source; a line that can't be read is a finding and a hole, and hides nothing after it."""
    lines = logical_lines(source)
    found: list[Finding] = list(lines.findings)
    build = Assembler(source)
    for logical in lines.value:
        for read in read_logical(source, logical):
            found += [f for f in (read.comma, read.finding) if f]
            feed(build, read)
    return Outcome(build.finish(), tuple(found + build.findings))


def feed(build: Assembler, read: Read) -> None:
    """Hand one line as read to the assembler."""
    node = read.node
    if node is None:
        words = tuple(_NAMES.findall(re.sub(r'"[^"\n]*"?', " ", read.text)))
        meant = guesses(_first(read.text))
        build.hole(Item("unread", Unread(words, meant[0] if meant else ""), read.line), meant, read.text)
    elif isinstance(node, Word):
        build.prose(read.line, node)
    elif isinstance(node, Line):
        build.add(Item(node.form, node, read.line))
    else:
        build.add(Item("step", node, read.line))


def read_logical(source: Source, logical: Logical) -> Iterator[Read]:
    """One logical line, or several where a comma at a line's end had joined the next statement to it."""
    line, text = logical
    if not text.strip():
        yield Read(line, text, None)
        return
    node, error = _try(text)
    rows = text.split("\n")
    row = _swallowed(rows, node) if len(rows) > 1 else 0
    if row:
        yield _head(source, line, rows[:row])
        yield from read_logical(source, Logical(line + row, "\n".join(rows[row:])))
        return
    yield Read(line, text, node, worded(source, line, text, error) if error else None)


def _first(text: str) -> str:
    first = _START.match(text)
    return first.group(1) if first else ""


def _try(text: str) -> tuple[Line | Step | Word | None, Exception | None]:
    prose = _PROSE.match(text)
    if prose:
        return Word.at(prose.group(1), 0, prose.start(1), len(prose.group(1)) + 2), None
    try:
        node = _statement(text)
    except Exception as error:
        from lark.exceptions import UnexpectedInput

        if not isinstance(error, UnexpectedInput):
            raise
        return None, error
    if isinstance(node, Line) and node.form == "prose":
        return node.parts[0], None  # type: ignore[return-value]
    return node, None


def _swallowed(rows: list[str], node: Line | Step | Word | None) -> int:
    """The first row that is a statement of its own, joined by mistake to the comma above it; 0 if none is.

    A statement that reads well as joined is left alone, unless a row of it is nothing but one word that is
    a whole statement (`end`, `yes`): as a name in a list that word would be a poor choice.
    """
    for row in range(1, len(rows)):
        if not rows[row].strip():
            continue
        if node is not None:
            if rows[row].strip() in ALONE:
                return row
            continue
        word = _first(rows[row])
        quoted = rows[row].lstrip().startswith('"')
        if not (quoted or word in FIRST or word[:1].isdigit()):
            continue
        head_reads = _try(_without_comma(rows[:row]))[0] is not None
        if head_reads if quoted else head_reads or _try("\n".join(rows[row:]))[0] is not None:
            return row
    return 0


def _without_comma(rows: list[str]) -> str:
    return re.sub(r",\s*$", "", "\n".join(rows))


def _head(source: Source, line: int, rows: list[str]) -> Read:
    """The statement before the comma: read as if the comma were not there."""
    text = _without_comma(rows)
    node, error = _try(text)
    if error is not None:
        return Read(line, text, None, worded(source, line, text, error))
    last = text.count("\n")
    span = Span(source, line + last, len(text.rsplit("\n", 1)[-1].rstrip()) + 1, 1)
    message = "a comma at the end of a line joins the next line to it, and the next line is a statement of its own"
    mend = "take the comma off, or name what should follow it"
    return Read(line, text, node, None, Finding("unreadable-line", Severity.ERROR, message, span, mend=mend))
