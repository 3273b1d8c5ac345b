"""Characters that nobody sees, and letters of another script that look like Latin ones."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import cached_property

from procforge.findings import Finding, Severity
from procforge.text import Source, Span

#: Cyrillic and Greek letters that most typefaces draw like Latin ones (UTS #39 lists them as confusable).
ALIKE = str.maketrans(
    "АВЕКМНОРСТУХІЈЅаеорсухіјѕԁԛԝΑΒΕΖΗΙΚΜΝΟΡΤΥΧονρυχ",
    "ABEKMHOPCTYXIJSaeopcyxijsdqwABEZHIKMNOPTYXovpux",
)
#: Allowed in quotes: joiners and direction marks that some scripts need.
NEEDED = "\u200c\u200d\u200e\u200f"
_LETTERS = frozenset(map(chr, ALIKE))
_QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"?')
_WORD = re.compile(r"(?<!\d )[^\W\d_][\w-]*")
_LATIN = re.compile(r"[A-Za-z]")


def latin(word: str) -> str:
    """The word as it looks, in Latin letters."""
    return word if word.isascii() else word.translate(ALIKE)


def borrowed_words(word: str) -> tuple[str, str]:
    """Message and mend for a word with letters that look Latin and are not."""
    letter = next(c for c in word if c in _LETTERS)
    name = unicodedata.name(letter, "").lower()
    message = f"`{latin(word)}` is written with a letter that only looks Latin: U+{ord(letter):04X}, {name}"
    return message, f"type `{latin(word)}` in Latin letters"


class Letters:
    """Looks through the lines of one file; every finding is an error, and the line is read as it looks."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.findings: list[Finding] = []

    def plain(self, number: int, raw: str, text: str) -> str:
        """A line as it looks, with what was odd about it noted; `text` is the line without its comment."""
        bare = _QUOTED.sub(lambda m: " " * len(m.group()), text)
        shown = bare.ljust(len(raw))
        unseen = {
            i for i, c in enumerate(raw) if unicodedata.category(c) == "Cf" and not (shown[i] == " " and c in NEEDED)
        }
        if unseen:
            first = min(unseen)
            name = unicodedata.name(raw[first], "a format character").lower()
            message = f"a character that nobody sees: U+{ord(raw[first]):04X}, {name}"
            self._fault("unseen-character", number, first, 1, message, "delete it")
        for start, word, meant in list(self._borrowed(bare)):
            self._fault("look-alike-letters", number, start, len(word), *borrowed_words(word))
            text = text[:start] + meant + text[start + len(word) :]
        return "".join(c for i, c in enumerate(text) if i not in unseen) if unseen else text

    def _borrowed(self, bare: str) -> Iterator[tuple[int, str, str]]:
        """Names that mix Latin letters with others that look so, or that pass for another name of the file."""
        for found in _WORD.finditer(bare):
            word = found.group()
            if _LETTERS.isdisjoint(word):
                continue
            meant = word.translate(ALIKE)
            if _LATIN.search(word) or (meant.isascii() and meant in self._words):
                yield found.start(), word, meant

    @cached_property
    def _words(self) -> frozenset[str]:
        return frozenset(w for line in self.source.lines if line.isascii() for w in _WORD.findall(line))

    def _fault(self, rule: str, line: int, start: int, width: int, message: str, mend: str) -> None:
        span = Span(self.source, line, start + 1, width)
        self.findings.append(Finding(rule, Severity.ERROR, message, span, mend=mend))
