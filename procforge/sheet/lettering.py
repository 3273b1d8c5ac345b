"""User text in a drawing or chart: made safe to draw, measured and wrapped. Nothing is cut off."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from functools import lru_cache

FONT_PT = 10.0

_JOINERS = "\u200c\u200d"  # needed to spell Persian, Hindi and others
# Advance widths of the printable ASCII characters and of signs of the trade, 1/1000 em, upright and bold. Arial,
# Helvetica, Liberation Sans and Arimo share them.
_ASCII = (
    "278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556 278 278 "
    "584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778 722 667 611 722 667 944 "
    "667 667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 "
    "278 556 500 722 500 500 500 334 260 334 584"
)
_BOLD = (
    "278 333 474 556 556 889 722 238 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556 333 333 "
    "584 584 584 611 975 722 722 722 722 667 611 778 722 278 556 722 611 833 722 778 667 778 722 667 611 722 667 944 "
    "667 667 611 333 278 333 584 556 333 556 611 556 611 556 333 611 611 278 278 556 278 889 611 611 611 611 389 556 "
    "333 611 556 778 556 556 500 389 280 389 584"
)
_SIGNS = {"°": 400, "±": 549, "×": 584, "·": 333, "µ": 576, "–": 556, "—": 1000, "…": 1000, "→": 1000, "≤": 549}


def _table(widths: str) -> dict[str, int]:
    return {chr(32 + i): int(width) for i, width in enumerate(widths.split())} | _SIGNS


_WIDTHS = (_table(_ASCII), _table(_BOLD))


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """`text` on one line, without what is invisible or can turn the reading order round.

    Control and format characters (bidi overrides among them) go; a broken character becomes U+FFFD; any run of
    blanks becomes one space; a no-break space stays. Letters are not normalised.
    """
    if not (text.isascii() and text.isprintable()):
        text = "".join(map(_drawn, text))
    return " ".join(part for part in text.split(" ") if part)


def _drawn(char: str) -> str:
    if char == "\u00a0" or char in _JOINERS:
        return char
    if char.isspace():
        return " "
    category = unicodedata.category(char)
    broken = category == "Cs" or ord(char) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(char) <= 0xFDEF
    return "\ufffd" if broken else "" if category in ("Cc", "Cf") else char


@lru_cache(maxsize=4096)
def _em(char: str, bold: bool) -> int:
    widths = _WIDTHS[bold]
    if char in widths:
        return widths[char]
    if char == "\u00a0":
        return widths[" "]
    if unicodedata.category(char) in ("Mn", "Me") or char in _JOINERS:
        return 0
    if unicodedata.east_asian_width(char) in "WF":
        return 1000
    base = unicodedata.normalize("NFD", char)[0]  # for its width only
    return widths.get(base, 750 if char.isupper() else 600)


def width(text: str, size: float = FONT_PT, *, bold: bool = False) -> float:
    """Width of one line in points at `size` points; exact for ASCII, a fair guess elsewhere."""
    return sum(_em(char, bold) for char in text) * size / 1000


@lru_cache(maxsize=4096)
def wrap(text: str, limit: float, size: float = FONT_PT, *, bold: bool = False) -> tuple[str, ...]:
    """Lines of `text`, cleaned, none wider than `limit` points, about equally long, broken between words.

    A word wider than the limit is broken after a hyphen, slash, dot or underscore if it has one, else between
    characters; every character stays. Without text: one empty line.
    """

    def measure(line: str) -> float:
        return width(line, size, bold=bold)

    words = [piece for word in clean(text).split(" ") for piece in _pieces(word, limit, measure)]
    lines = _greedy(words, limit, measure)
    low, high = 0.0, limit
    while high - low > 1:  # the narrowest column that takes no more lines
        middle = (low + high) / 2
        tried = _greedy(words, middle, measure)
        if len(tried) == len(lines) and all(measure(line) <= limit for line in tried):
            high = middle
        else:
            low = middle
    return tuple(_greedy(words, high, measure))


def _pieces(word: str, limit: float, measure: Callable[[str], float]) -> list[tuple[str, str]]:
    """The word as (glue before it, text) pieces that each fit the limit."""
    if measure(word) <= limit:
        return [(" ", word)]
    parts = [""]
    for char in word:
        while parts[-1] and measure(parts[-1] + char) > limit:  # twice where the rest after a mark is still too long
            at = 1 + max((parts[-1].rfind(mark) for mark in "-/._\u00a0"), default=-1)
            parts[-1:] = [parts[-1][:at], parts[-1][at:]] if at else [parts[-1], ""]
        parts[-1] += char
    return [(" " if i == 0 else "", part) for i, part in enumerate(p for p in parts if p)]


def _greedy(pieces: list[tuple[str, str]], limit: float, measure: Callable[[str], float]) -> list[str]:
    lines = [""]
    for glue, piece in pieces:
        longer = lines[-1] + glue + piece if lines[-1] else piece
        if not lines[-1] or measure(longer) <= limit:
            lines[-1] = longer
        else:
            lines.append(piece)
    return lines
