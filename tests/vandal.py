"""Texts as nobody should write them: random edits of shipped files, and soups of the language's own words."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

from procforge.findings import Finding
from procforge.grammar_files import grammar_text
from procforge.resolve.load import Library
from procforge.rules.registry import BY_NAME
from procforge.stages import Checked, check_file

ROOT = Path(__file__).parents[1]
FILES = sorted(p for p in (ROOT / "procedures").rglob("*") if p.suffix in (".proc", ".equip", ".units"))
JUNK = ("\u202e", "\u200b", "\ufeff", "\u00a0", "\u2028", "\u0301", "é", "Ж", "\U0001f9f0", "\t", '"', "\\", "#", ",", ":", "(", ")", "--",
        "½", "²", "٣", "\x0b", "\x1b[31m", "%s", "{0}", "[red]", "</w:t>", "&amp;", "\x00", "\r", "\ud800")  # fmt: skip
NUMBERS = ("0", "-1", "1e9", "999999999999999999999", "0.0000000001", "1/2", "½", "1,5", "NaN", "inf", "٣", "1" * 60)


def reader(texts: dict[str, str | bytes]) -> Library:
    """A library in which some files, by name, have another text."""

    def read(path: Path) -> bytes:
        text = texts.get(path.name)
        if text is None:
            return path.read_bytes()
        return text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")

    return Library(read)


def looked_at(path: Path, texts: dict[str, str | bytes]) -> Checked:
    """The verdict on a file with other texts; raises where the validator does, or where a finding is no finding."""
    checked = check_file(reader(texts), path)
    for finding in checked.findings:
        well_formed(finding)
    return checked


def well_formed(finding: Finding) -> None:
    """A finding has a rule with a page, a place that exists, words, and a way out or a reason."""
    assert finding.rule in BY_NAME, finding
    assert finding.message.strip(), finding
    span = finding.span
    assert 0 <= span.line <= max(len(span.source.lines), 1), (finding.rule, span.line, len(span.source.lines))
    assert 1 <= span.column <= len(span.source.line(span.line)) + 2, (finding.rule, span.line, span.column)
    assert span.width >= 0
    rule = BY_NAME[finding.rule]
    assert finding.mend or finding.why or rule.mend or rule.why, f"{finding.rule} tells no way out: {finding.message}"
    for beat in finding.path:
        assert 0 <= beat.span.line <= len(beat.span.source.lines)


# ---- edits ---------------------------------------------------------------------------------------
def edited(chance: random.Random, text: str, edits: int) -> str:
    """A text after some random edits."""
    for _ in range(edits):
        text = chance.choice(EDITS)(chance, text)
    return text


def _lines(change: Callable[[random.Random, list[str]], None]) -> Callable[[random.Random, str], str]:
    def made(chance: random.Random, text: str) -> str:
        lines = text.split("\n")
        change(chance, lines)
        return "\n".join(lines)

    return made


def _delete(chance: random.Random, lines: list[str]) -> None:
    start = chance.randrange(len(lines))
    del lines[start : start + chance.choice((1, 1, 1, 5, 20))]
    lines or lines.append("")


def _double(chance: random.Random, lines: list[str]) -> None:
    start = chance.randrange(len(lines))
    lines[start:start] = lines[start : start + chance.choice((1, 1, 8))]


def _swap(chance: random.Random, lines: list[str]) -> None:
    a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]


def _move(chance: random.Random, lines: list[str]) -> None:
    a = chance.randrange(len(lines))
    taken = lines[a : a + 3]
    del lines[a : a + 3]
    at = chance.randrange(len(lines) + 1)
    lines[at:at] = taken


def _insert(chance: random.Random, lines: list[str]) -> None:
    lines.insert(chance.randrange(len(lines) + 1), soup(chance, 1))


def _other_word(chance: random.Random, lines: list[str]) -> None:
    at = chance.randrange(len(lines))
    words = lines[at].split(" ")
    other = chance.choice(lines).split() or ["end"]
    words[chance.randrange(len(words))] = chance.choice((*other, *NUMBERS[:3], chance.choice(vocabulary())))
    lines[at] = " ".join(words)


def _junk(chance: random.Random, text: str) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice(JUNK) + text[at:]


def _truncate(chance: random.Random, text: str) -> str:
    return text[: chance.randrange(len(text) + 1)] if chance.random() < 0.3 else text


def _typo(chance: random.Random, text: str) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + text[at + chance.choice((1, 1, 2)) :]


EDITS: tuple[Callable[[random.Random, str], str], ...] = (
    *map(_lines, (_delete, _double, _swap, _move, _insert, _other_word, _other_word)),
    _junk,
    _truncate,
    _typo,
    _typo,
)


# ---- soups ---------------------------------------------------------------------------------------
@cache
def vocabulary() -> tuple[str, ...]:
    """Every keyword of the grammar, the names of the shipped files, some values."""
    words = set(re.findall(r'"([a-z-]+)"', grammar_text("procforge.lark")))
    words |= set(re.search(r"DEFINES.3: /\(\?:(.*)\)\(", grammar_text("procforge.lark")).group(1).split("|"))  # type: ignore[union-attr]
    for path in FILES:
        words |= set(re.findall(r"[^\W\d_][\w-]*", path.read_text(encoding="utf-8")))
    return tuple(sorted(words))


def soup(chance: random.Random, lines: int) -> str:
    """Lines of the language's words in no order."""
    starts = ("step", "check", "when", "repeat until", "for each", "any order", "together", "end", "yes", "no", "otherwise", "also", "or", "do",
              "block", "either", "on the bench with", "lend-back", "hold", "ask", "part", "isolator", "pressure-space", "section", "use", "over",
              "held by", "isolated by", "only for", "made of", "at each of", "starts", "leaves", "house rule", "fact", "wait", "readings")  # fmt: skip
    made = []
    for _ in range(lines):
        words = [chance.choice(starts)] + [_word(chance) for _ in range(chance.randrange(6))]
        made.append(" ".join(words))
    return "\n".join(made)


def _word(chance: random.Random) -> str:
    kind = chance.random()
    if kind < 0.7:
        return chance.choice(vocabulary())
    if kind < 0.8:
        return f'"{chance.choice(vocabulary())}"'
    if kind < 0.9:
        return chance.choice((",", "(", ")", "+/-", ":"))
    return f"{chance.choice(NUMBERS)} {chance.choice(('bar(g)', 'min', 'N.m', 'mm', '%', 'xyz', '°C'))}"


# ---- letters -------------------------------------------------------------------------------------
#: Latin letters and what looks like them in other alphabets.
LIKE = dict(zip("aceopxyiABEHKMOPT", "\u0430\u0441\u0435\u043e\u0440\u0445\u0443\u0456\u0410\u0412\u0415\u041d\u041a\u041c\u041e\u0420\u0422", strict=True))  # fmt: skip
UNSEEN = ("\u200b", "\u200d", "\u202e", "\u2066", "\u2069", "\u00ad", "\ufeff", "\u2060", "\u200f")


def disguised(chance: random.Random, text: str) -> tuple[str, int]:
    """A text with one unseen character or look-alike letter in the words of a statement, and its line."""
    lines = text.split("\n")
    while True:
        at = chance.randrange(len(lines))
        line = lines[at].split("#")[0]
        bare = re.sub(r'"[^"]*"?', lambda m: "\0" * len(m[0]), line)
        places = [n for n, c in enumerate(bare) if c.isalpha() and c.isascii()]
        if not places:
            continue
        n = chance.choice(places)
        if chance.random() < 0.5:
            lines[at] = line[: n + 1] + chance.choice(UNSEEN) + lines[at][n + 1 :]
        elif line[n] in LIKE:
            lines[at] = line[:n] + LIKE[line[n]] + lines[at][n + 1 :]
        else:
            continue
        return "\n".join(lines), at + 1
