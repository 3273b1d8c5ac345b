"""A line that could not be read, in plain words: what stands there, what was expected, what was meant."""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache, lru_cache

from procforge.findings import Finding, Severity
from procforge.syntax.forms import FORMS
from procforge.syntax.order import FIRST, keyword
from procforge.text import Source, Span

_PLAIN = {
    "NAME": "a name", "STRING": 'text in "double quotes"', "NUMBER": "a number", "UNIT": "a unit", "COMMA": "a comma",
    "$END": "the end of the line", "DATE": "a date like 2026-09-30", "THREAD": "a thread like M12",
    "VALUE": "a value", "PLUS_MINUS": "`+/-`", "COLON": "a colon", "LPAR": "a bracket", "RPAR": "a closing bracket",
}  # fmt: skip
_DECIMAL_COMMA = re.compile(r'(?<![\w.,"-])(\d+),(\d+)(?=\s*[^\s\d,"]|\s*$)')
LONGEST_WORD = 60
#: Verbs of two words, which people write without the hyphen (a test holds them against the verb table).
TWO_WORDS = frozenset(
    [
        "carry-out",
        "gas-test",
        "leak-test",
        "let-down",
        "look-into",
        "nip-up",
        "shut-down",
        "switch-off",
        "switch-on",
        "try-start",
    ]
)
_CURLY = re.compile("[“”„‟«»″]")


@cache
def keywords() -> dict[str, str]:
    """Terminal name to the keyword it stands for; several are parted by `|`."""
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


@lru_cache(maxsize=4000)
def close(word: str, known: tuple[str, ...], most: int = 3, cutoff: float = 0.6) -> tuple[str, ...]:
    """The known words that a misspelled one may have meant: letters swapped first, then the most alike."""
    if len(word) > LONGEST_WORD:
        return ()
    swapped = [k for k in known if sorted(k) == sorted(word)]
    return tuple(dict.fromkeys([*swapped, *get_close_matches(word, known, most, cutoff)]))[:most]


def guesses(word: str) -> tuple[str, ...]:
    """The first words that the first word of an unreadable line may stand for, likeliest first."""
    if word in FIRST:
        return (word,)
    return close(word.lower(), tuple(FIRST)) if word else ()


def _expected(names: set[str]) -> str:
    words = keywords()
    plain = sorted({_PLAIN[n] for n in names if n in _PLAIN})
    plain += sorted({f"`{w}`" for n in names if n in words for w in words[n].split("|")})
    if len(plain) > 8:
        return ", ".join([*plain[:7], "…"])
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


def _form(text: str) -> str:
    """How the statement that the line was meant to be is written; empty if several could be meant."""
    words = text.split()
    forms = FIRST.get(words[0], ()) if words else ()
    if len(forms) > 1 and len(words) > 1:
        forms = tuple(f for f in forms if keyword(f).split()[1:2] == words[1:2]) or forms[:1]
    return FORMS.get(forms[0], "") if len(forms) == 1 else ""


def worded(source: Source, line: int, text: str, error: Exception) -> Finding:
    """The finding for a statement the parser refused."""
    first = re.match(r'\s*([^\s,":]+)', text)
    word = first.group(1) if first else ""
    begin = first.start(1) if first else len(text) - len(text.lstrip())

    def finding(message: str, offset: int, width: int, mend: str) -> Finding:
        row = text.count("\n", 0, offset)
        column = offset - (text.rfind("\n", 0, offset) + 1) + 1
        return Finding("unreadable-line", Severity.ERROR, message, Span(source, line + row, column, width), mend=mend)

    quote = _open_quote(text)
    if quote >= 0:
        rest = len(text[quote:].split("\n")[0])
        return finding("the text in quotes is not closed", quote, rest, 'close it with " on the same line')
    token = getattr(error, "token", None)
    ended = token is not None and token.type == "$END"
    offset = len(text.rstrip()) if ended else getattr(error, "pos_in_stream", None)
    offset = offset if isinstance(offset, int) and offset >= 0 else begin
    bare = re.sub(r'"(?:[^"\\\n]|\\.)*"', lambda m: " " * len(m.group()), text)
    curly = _CURLY.search(bare)
    if curly and curly.start() <= offset:
        return finding(
            f"`{curly.group()}` is not a quote this language reads",
            curly.start(),
            1,
            'put text in straight quotes: "…"',
        )
    if first and word not in FIRST and not word[0].isdigit():
        meant = guesses(word)
        mend = (
            f"did you mean {' or '.join(f'`{c}`' for c in meant)}?"
            if meant
            else "start the line with a word of the language"
        )
        return finding(f"no statement starts with `{_short(word)}`", begin, len(word), mend)
    decimal = next((m for m in _DECIMAL_COMMA.finditer(bare) if m.start() <= offset), None)
    if decimal:
        message = f"`{decimal.group()}` is no number here: a comma parts the entries of a list"
        return finding(
            message,
            decimal.start(),
            len(decimal.group()),
            f"write decimals with a point: {decimal.group(1)}.{decimal.group(2)}",
        )
    two = re.match(r"\s*step\s+(\w+\s+\w+)(?![\w-])", bare)
    if two and "-".join(two.group(1).split()) in TWO_WORDS:
        verb = "-".join(two.group(1).split())
        return finding(f"`{verb}` has a hyphen", two.start(1), len(two.group(1)), f"write `{verb}`")
    names = set(getattr(error, "expected", None) or getattr(error, "allowed", None) or ())
    form = _form(text)
    written = f"write it as: {form}" if form and form != word else ""
    if ended:
        missing = _expected(names - {"COMMA"} or names)
        return finding(f"the line ends too early: {missing} is missing", offset, 1, written or f"add {missing}")
    got = re.compile(r'"(?:[^"\\]|\\.)*"|[\w.-]+|.').match(text, offset)
    seen = got.group() if got else text[offset : offset + 1]
    alike = close(seen, tuple(w for n in names for w in keywords().get(n, "").split("|") if w), 1)
    if seen.isspace():
        return finding("here stands a space that is no plain one", offset, 1, "type a plain space in its place")
    if alike:
        mend = f"did you mean `{alike[0]}`?"
    elif names <= {"$END", "COMMA"}:
        mend = (
            "put a comma before it, or take it off" if "COMMA" in names else "take it off, or start a new line with it"
        )
    else:
        mend = written or f"expected here: {_expected(names)}"
    return finding(f"`{_short(seen)}` does not fit here", offset, max(len(seen), 1), mend)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
