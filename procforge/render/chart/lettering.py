"""User text on a chart: made safe to draw, measured and wrapped. Nothing is cut off."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

FONT = "Arial"
FONT_PT = 10.0
LINE_PT = 12.0

_JOINERS = "\u200c\u200d"  # needed to spell Persian, Hindi and others
# Advance widths of the printable ASCII characters, 1/1000 em. Arial, Helvetica, Liberation Sans and Arimo share them.
_ASCII = (
    "278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556 278 278 "
    "584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778 722 667 611 722 667 944 "
    "667 667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 "
    "278 556 500 722 500 500 500 334 260 334 584"
)
_WIDTHS = {chr(32 + i): int(width) for i, width in enumerate(_ASCII.split())}


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
def _em(char: str) -> int:
    if char in _WIDTHS:
        return _WIDTHS[char]
    if char == "\u00a0":
        return _WIDTHS[" "]
    if unicodedata.category(char) in ("Mn", "Me") or char in _JOINERS:
        return 0
    if unicodedata.east_asian_width(char) in "WF":
        return 1000
    base = unicodedata.normalize("NFD", char)[0]  # for its width only
    return _WIDTHS.get(base, 750 if char.isupper() else 600)


def width(text: str, size: float = FONT_PT) -> float:
    """Width of one line in points at `size` points; exact for ASCII, a fair guess elsewhere."""
    return sum(map(_em, text)) * size / 1000


@lru_cache(maxsize=4096)
def wrap(text: str, limit: float, size: float = FONT_PT) -> tuple[str, ...]:
    """Lines of `text`, cleaned, none wider than `limit` points, about equally long, broken between words.

    A word wider than the limit is broken after a hyphen, slash, dot or underscore if it has one, else between
    characters; every character stays. Without text: one empty line.
    """
    words = [piece for word in clean(text).split(" ") for piece in _pieces(word, limit, size)]
    lines = _greedy(words, limit, size)
    low, high = 0.0, limit
    while high - low > 1:  # the narrowest column that takes no more lines
        middle = (low + high) / 2
        tried = _greedy(words, middle, size)
        if len(tried) == len(lines) and all(width(line, size) <= limit for line in tried):
            high = middle
        else:
            low = middle
    return tuple(_greedy(words, high, size))


def _pieces(word: str, limit: float, size: float) -> list[tuple[str, str]]:
    """The word as (glue before it, text) pieces that each fit the limit."""
    if width(word, size) <= limit:
        return [(" ", word)]
    parts = [""]
    for char in word:
        while (
            parts[-1] and width(parts[-1] + char, size) > limit
        ):  # twice where the rest after a mark is still too long
            at = 1 + max((parts[-1].rfind(mark) for mark in "-/._\u00a0"), default=-1)
            parts[-1:] = [parts[-1][:at], parts[-1][at:]] if at else [parts[-1], ""]
        parts[-1] += char
    return [(" " if i == 0 else "", part) for i, part in enumerate(p for p in parts if p)]


def _greedy(pieces: list[tuple[str, str]], limit: float, size: float) -> list[str]:
    lines = [""]
    for glue, piece in pieces:
        longer = lines[-1] + glue + piece if lines[-1] else piece
        if not lines[-1] or width(longer, size) <= limit:
            lines[-1] = longer
        else:
            lines.append(piece)
    return lines
