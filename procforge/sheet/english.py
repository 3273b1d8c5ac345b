"""The grammar that written sentences need: small letters, plurals, lists, counts, and the length of a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

#: The longest sentence of an instruction, in words.
LONGEST = 20
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
#: Where the thing a title names ends: "vent to flare" names a vent.
_HEAD = re.compile(r"\s+(?:of|to|at|for|with|in|on|from|between)\s+.*|\s*[,(].*")
_MINUS = re.compile(r"(?<![^\s(])-(?=\d)")
_SINGULAR = ("ss", "us", "is", "gas", "lens")


def lower_first(text: str) -> str:
    """The text as it stands inside a sentence: `Inlet valve` -> `inlet valve`, `O-ring` and `PI-3` as they are."""
    first = re.match(r"[^\W\d_]+", text)
    if first is None or not first[0][1:].islower() or len(first[0]) < 2:
        return text
    return text[0].lower() + text[1:]


def upper_first(text: str) -> str:
    """The text as a sentence starts."""
    return text[:1].upper() + text[1:]


def head_noun(title: str) -> str:
    """The last word of what a title names: `vent to flare` -> `vent`."""
    return (_HEAD.sub("", title).split() or [title])[-1]


def is_plural(title: str) -> bool:
    """Whether a title names several things: `cover nuts` does, `biogas` and `valve cover` don't."""
    noun = head_noun(title).lower()
    return noun.endswith("s") and not noun.endswith(_SINGULAR)


def joined(parts: Sequence[str], last: str = "and") -> str:
    """`a, b and c`."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"


def in_turn(parts: Sequence[str]) -> str:
    """`a, then b, then c`."""
    return ", then ".join(parts)


def words(sentence: str) -> int:
    """How many words a sentence has; a number and its unit, joined by a no-break space, count as one."""
    return len([w for w in re.split(r"[ \n]", sentence) if w])


def ended(text: str) -> str:
    """The text as a sentence: with its full stop."""
    text = text.strip()
    return text if not text or text[-1] in ".!?:" else f"{text}."


def clauses(
    say: Callable[[str, str], str], parts: Sequence[str], join: Callable[[Sequence[str]], str], tail: str = ""
) -> list[str]:
    """`say(parts joined, tail)` in as few sentences as hold at most `LONGEST` words.

    The tail (the tools) stands in the first, or alone after them where not even one part leaves it room.
    """
    if tail and parts and words(say(parts[0], tail)) > LONGEST:
        return [*clauses(say, parts, join), f"Do it{tail}."]
    out: list[str] = []
    some: list[str] = []
    for part in parts:
        if some and words(say(join([*some, part]), tail)) > LONGEST:
            out.append(say(join(some), tail))
            some, tail = [], ""
        some.append(part)
    return [*out, say(join(some), tail)] if some else out


def nb(amount: object) -> str:
    """A quantity whose number and unit stay on one line, with a minus sign that no line ends after."""
    return minus(str(amount)).replace(" ", "\u00a0")


def minus(text: str) -> str:
    """A hyphen before a number, not inside a word or date, as the minus sign it stands for."""
    return _MINUS.sub("\u2212", text) if "-" in text else text
