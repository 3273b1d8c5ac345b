"""Bytes to text, text to logical lines: encodings, comments, continuation after a comma."""

from __future__ import annotations

import re
from typing import NamedTuple

from procforge.findings import Finding, Outcome, Severity
from procforge.syntax.letters import Letters
from procforge.text import Source, Span

LONGEST_LINE = 4000
_COMMENT = re.compile(r'[^"#]*(?:"(?:[^"\\]|\\.)*"[^"#]*)*')
_COMPLETE = re.compile(r'"(?:[^"\\]|\\.)*"')
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class Logical(NamedTuple):
    """A statement's text: `line` is the physical line it starts on; rows are joined by newlines."""

    line: int
    text: str


def _fault(source: Source, rule: str, line: int, column: int, message: str, mend: str, width: int = 1) -> Finding:
    return Finding(rule, Severity.ERROR, message, Span(source, line, column, width), mend=mend)


def decode(path: str, data: bytes) -> Outcome[Source]:
    """A file's bytes as UTF-8 (UTF-16 with its mark); anything else is one finding and an empty source."""
    mend = "save the file as UTF-8 text"
    codec = "utf-16" if data.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        return _without_controls(Source.of(path, data.decode(codec)))
    except UnicodeDecodeError as error:
        start = error.start
        good = Source.of(path, data[:start].decode(codec, "replace")).lines
        line, column = len(good), len(good[-1]) + 1
        byte = f"byte 0x{data[start]:02X} at position {start}" if start < len(data) else "the end of the file"
        place = Source.of(path, data.decode(codec, "replace"))
        return Outcome(
            Source(path, ()),
            (_fault(place, "unreadable-file", line, column, f"the file is not UTF-8 text: {byte}", mend),),
        )


def _without_controls(source: Source) -> Outcome[Source]:
    """Control characters show that this is no text: one finding, nothing read."""
    for number, line in enumerate(source.lines, 1):
        found = _CONTROL.search(line)
        if found:
            message = f"the file is not plain text: control character 0x{ord(found.group()):02X}"
            fault = _fault(source, "unreadable-file", number, found.start() + 1, message, "save the file as UTF-8 text")
            return Outcome(Source(source.path, ()), (fault,))
    return Outcome(source)


def without_comment(text: str) -> str:
    """The line up to a `#` that stands outside quotes; an open quote keeps the rest."""
    if "#" not in text:
        return text.rstrip()
    match = _COMMENT.match(text)
    end = match.end() if match else len(text)
    return text[:end].rstrip() if end < len(text) and text[end] == "#" else text.rstrip()


def logical_lines(source: Source) -> Outcome[list[Logical]]:
    """The statements of a file: comments off, blank lines out, a line that ends in a comma joined to the next.

    A line that is too long gives a statement of empty rows, which nobody can read; a quote left open ends its statement.
    """
    found: list[Finding] = []
    result: list[Logical] = []
    start, length = 0, 0
    rows: list[str] = []
    letters = Letters(source)

    def close(text: str) -> None:
        result.append(Logical(start, text))
        rows.clear()

    for number, raw in enumerate(source.lines, 1):
        too_long = len(raw) > LONGEST_LINE
        text = "" if too_long else without_comment(raw)
        if not raw.isascii() and not too_long:
            text = letters.plain(number, raw, text)
        if not (text or rows or too_long):
            continue
        if not rows:
            start, length = number, 0
        if too_long:
            message = f"the line is {len(raw):,} characters long; {LONGEST_LINE:,} are read"
            found.append(_fault(source, "line-too-long", number, 1, message, "break the line after a comma", 0))
            close("\n" * len(rows))
            continue
        rows.append(text)
        length += len(text)
        if not (text.endswith(",") or not text) or length > 10 * LONGEST_LINE or _open_quote(text):
            close("\n".join(rows))
    if rows:
        close("\n".join(rows).rstrip("\n"))
    return Outcome(result, tuple(found + letters.findings))


def _open_quote(text: str) -> bool:
    """Whether a quote opens that does not close on the same line."""
    return '"' in text and '"' in _COMPLETE.sub("", text)
