"""A line that could not be read, in plain words: what stands there, what was expected, what was meant."""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache
from typing import TYPE_CHECKING

from procforge.findings import Finding, Severity
from procforge.text import Source, Span

if TYPE_CHECKING:
    from lark.exceptions import UnexpectedInput

_PLAIN = {
    "NAME": "a name", "STRING": 'text in "double quotes"', "NUMBER": "a number", "UNIT": "a unit", "COMMA": "a comma",
    "$END": "the end of the line", "DATE": "a date like 2026-09-30", "THREAD": "a thread like M12",
    "VALUE": "a value", "PLUS_MINUS": "`+/-`", "COLON": "a colon", "LPAR": "a bracket", "RPAR": "a closing bracket",
}  # fmt: skip


@cache
def keywords() -> dict[str, str]:
    """Terminal name to the keyword it stands for."""
    from procforge.syntax.table import parser

    words = {}
    for terminal in parser().terminals:
        value = terminal.pattern.value
        found = re.fullmatch(r"([\w\\-]+)\(\?!\[\\w-\]\)", value)
        if found:
            words[terminal.name] = found.group(1).replace("\\", "")
        choice = re.fullmatch(r"\(\?:([\w|-]+)\)\(\?!\[\\w-\]\)", value)
        if choice:
            words[terminal.name] = choice.group(1)
    return words


@cache
def first_words() -> tuple[str, ...]:
    """Every word a statement may start with."""
    from procforge.syntax.table import parser

    engine = parser().parser.parser  # type: ignore[attr-defined]
    start = engine._parse_table.states[engine._parse_table.start_states["start"]]
    words = keywords()
    return tuple(sorted({w for name in start if name in words for w in words[name].split("|")}))


def _expected(names: set[str]) -> str:
    words = keywords()
    plain = sorted({_PLAIN[n] for n in names if n in _PLAIN})
    plain += sorted({f"`{w}`" for n in names if n in words for w in words[n].split("|")})
    if len(plain) > 8:
        plain = [*plain[:7], "…"]
    return plain[0] if len(plain) == 1 else ", ".join(plain[:-1]) + " or " + plain[-1] if plain else "something else"


def _open_quote(text: str) -> int:
    """Where a quote opens that never closes, from 0; -1 if none does."""
    place = 0
    while (start := text.find('"', place)) >= 0:
        closed = re.compile(r'"(?:[^"\\\n]|\\.)*"').match(text, start)
        if not closed:
            return start
        place = closed.end()
    return -1


def worded(source: Source, line: int, text: str, error: UnexpectedInput) -> Finding:
    """The finding for a statement the parser refused."""
    first = re.match(r'\s*([^\s,":]+)', text)
    word = first.group(1) if first else ""
    begin = first.start(1) if first else 0

    def finding(message: str, offset: int, width: int, mend: str) -> Finding:
        row = text.count("\n", 0, offset)
        column = offset - (text.rfind("\n", 0, offset) + 1) + 1
        return Finding("unreadable-line", Severity.ERROR, message, Span(source, line + row, column, width), mend=mend)

    quote = _open_quote(text)
    if quote >= 0:
        rest = len(text[quote:].split("\n")[0])
        return finding("the text in quotes is not closed", quote, rest, 'close it with " on the same line')
    if first and word not in first_words() and not word[0].isdigit():
        close = get_close_matches(word, first_words(), 3, 0.6)
        mend = f"did you mean {' or '.join(f'`{c}`' for c in close)}?" if close else "start the line with a keyword of the language"
        return finding(f"no statement starts with `{_short(word)}`", begin, len(word), mend)
    token = getattr(error, "token", None)
    offset = getattr(error, "pos_in_stream", None)
    names = set(getattr(error, "expected", None) or getattr(error, "allowed", None) or ())
    if token is not None and token.type == "$END":
        message = f"the line ends too early: {_expected(names)} is missing"
        return finding(message, len(text.rstrip()), 1, f"a `{word}` line goes on with {_expected(names)}")
    offset = offset if isinstance(offset, int) and offset >= 0 else begin
    got = re.compile(r'"(?:[^"\\]|\\.)*"|[\w.-]+|.').match(text, offset)
    seen = got.group() if got else text[offset : offset + 1]
    close = get_close_matches(seen, [w for n in names for w in keywords().get(n, "").split("|") if w], 1, 0.6)
    if "," in seen and "NUMBER" not in names and re.match(r"\d+,\d", text[max(0, offset - 3) :]):
        mend = "write decimals with a point: 1.5"
    elif close:
        mend = f"did you mean `{close[0]}`?"
    elif names == {"$END"} or names <= {"$END", "COMMA"}:
        mend = "take it off, or start a new line with it"
    else:
        mend = f"expected here: {_expected(names)}"
    return finding(f"`{_short(seen)}` does not fit here", offset, len(seen), mend)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
