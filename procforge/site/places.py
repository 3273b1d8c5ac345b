"""Where each key of a TOML file stands: `tomllib` gives values without places."""

from __future__ import annotations

import re

from procforge.text import Source, Span

Key = tuple[str, ...]
_PART = r"(?:[A-Za-z0-9_-]+|\"(?:[^\"\\]|\\.)*\"|'[^']*')"
_KEYS = rf"{_PART}(?:\s*\.\s*{_PART})*"
_TABLE = re.compile(rf"\s*\[\[?\s*(?P<key>{_KEYS})\s*\]")
_PAIR = re.compile(rf"\s*(?P<key>{_KEYS})\s*=\s*(?P<value>.*)")
_ERROR = re.compile(
    r"(?P<reason>.*?) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)\Z", re.DOTALL
)


def places(source: Source) -> dict[Key, Span]:
    """The place of each table and key, dotted ones whole; what stands first counts.

    A line that only looks like a pair inside a text of several lines is taken for one: the worst of it is a finding
    at another line.
    """
    found: dict[Key, Span] = {}
    table: Key = ()
    for number, line in enumerate(source.lines, 1):
        if match := _TABLE.match(line):
            table = _parts(match["key"])
            found.setdefault(table, _span(source, number, match))
        elif match := _PAIR.match(line):
            key = (*table, *_parts(match["key"]))
            for end in range(len(table) + 1, len(key) + 1):
                found.setdefault(key[:end], _span(source, number, match))
            for inner in re.finditer(rf"[{{,]\s*(?P<key>{_KEYS})\s*=", match["value"]):
                start = match.start("value") + inner.start("key")
                place = Span(source, number, start + 1, len(inner["key"]))
                found.setdefault((*key, *_parts(inner["key"])), place)
    return found


def _span(source: Source, line: int, match: re.Match[str]) -> Span:
    return Span(source, line, match.start("key") + 1, len(match["key"]))


def _parts(text: str) -> Key:
    return tuple(part[1:-1] if part[0] in "\"'" else part for part in re.findall(_PART, text))


def broken(source: Source, message: str) -> tuple[Span, str]:
    """Place and reason out of a message of `tomllib`."""
    match = _ERROR.match(message)
    if match is None:
        return Span(source, 1), message
    if match["line"] is None:
        last = max((number for number, line in enumerate(source.lines, 1) if line.strip()), default=1)
        return Span(source, last), match["reason"]
    return Span(source, int(match["line"]), int(match["column"])), match["reason"]
