"""A short way for the statements that make up most of a file; whatever it does not know is left to the grammar.

It gives the very nodes that the grammar gives (a property test holds the two against each other) and costs a
tenth. It reads only what is plain: single spaces don't matter, but quotes with escapes, odd characters,
continuation lines and anything unusual go the long way.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from procforge.syntax.nodes import Line, Modifier, Object, Qty, Step, Word

#: Words that the grammar takes for a keyword where an object or a modifier may stand.
_KEYWORDS = "with|at|by|to|only|as|from|new|of|half|quarter|for|on"
_NAME = rf"(?!(?:{_KEYWORDS})(?![\w-]))(?=[\d-]*[^\W\d])[^\W_][\w-]*"
_ANY_NAME = r"(?=[\d-]*[^\W\d])[^\W_][\w-]*"
_OBJECT = rf"{_NAME}(?:[ \t]+of[ \t]+{_ANY_NAME})?(?:[ \t]+new(?![\w-]))?"
_OBJECTS = rf"{_OBJECT}(?:[ \t]*,[ \t]*{_OBJECT})*"
_MODS = rf"(?:[ \t]+(?:with|at|by|to|as|from)[ \t]+{_NAME})*"
_STEP = re.compile(rf"[ \t]*step[ \t]+({_ANY_NAME})(?:[ \t]+({_OBJECTS}))?({_MODS})[ \t]*")
_CHECK = re.compile(rf"[ \t]*check[ \t]+({_ANY_NAME})[ \t]+on[ \t]+({_OBJECTS})({_MODS})[ \t]*")
_WHEN = re.compile(rf"[ \t]*when[ \t]+({_ANY_NAME})[ \t]+({_ANY_NAME})[ \t]*")
_TEXT = re.compile(
    r'[ \t]*(accept|reject|title|expect|note|avoid|criterion|permit|condition|task|purpose)[ \t]*"([^"\\\n]*)"[ \t]*'
)
_TAKES = re.compile(r"[ \t]*takes[ \t]+(\d+(?:\.\d+)?)[ \t]+(min|h|s)[ \t]*")
_BARE = re.compile(r"[ \t]*(end|otherwise|yes|no|also)[ \t]*")
_PART = re.compile(rf"({_ANY_NAME})(?:[ \t]+of[ \t]+({_ANY_NAME}))?(?:[ \t]+(new)(?![\w-]))?")
_MOD = re.compile(rf"(with|at|by|to|as|from)[ \t]+({_ANY_NAME})")
_FORM = {"condition": "precondition"}


def _word(value: str, start: int) -> Word:
    return Word.at(value, 0, start + 1, len(value))


def _objects(text: str, start: int, end: int) -> tuple[Object, ...]:
    found = []
    for part in _PART.finditer(text, start, end):
        name, of, new = part.group(1, 2, 3)
        found.append(
            Object(
                _word(name, part.start(1)),
                _word(of, part.start(2)) if of else None,
                _word(new, part.start(3)) if new else None,
            )
        )
    return tuple(found)


def _modifiers(text: str, start: int, end: int) -> tuple[Modifier, ...]:
    if start == end:
        return ()
    return tuple(Modifier(m.group(1), (_word(m.group(2), m.start(2)),)) for m in _MOD.finditer(text, start, end))


def _step(match: re.Match[str]) -> Step:
    text = match.string
    objects = _objects(text, match.start(2), match.end(2)) if match.group(2) else ()
    return Step(_word(match.group(1), match.start(1)), objects, None, _modifiers(text, match.start(3), match.end(3)))


def _check(match: re.Match[str]) -> Line:
    text = match.string
    objects = _objects(text, match.start(2), match.end(2))
    return Line(
        "check", (_word(match.group(1), match.start(1)), objects, *_modifiers(text, match.start(3), match.end(3)))
    )


def _when(match: re.Match[str]) -> Line:
    return Line("when", (_word(match.group(1), match.start(1)), _word(match.group(2), match.start(2))))


def _text(match: re.Match[str]) -> Line:
    keyword, value = match.group(1, 2)
    return Line(_FORM.get(keyword, keyword), (Word.at(value, 0, match.start(2), len(value) + 2),))


def _takes(match: re.Match[str]) -> Line:
    return Line("takes", (Qty(_word(match.group(1), match.start(1)), _word(match.group(2), match.start(2))),))


def _bare(match: re.Match[str]) -> Line:
    return Line(match.group(1), ())


_WAYS: dict[str, tuple[re.Pattern[str], Callable[[re.Match[str]], Line | Step]]] = {
    "step": (_STEP, _step), "check": (_CHECK, _check), "when": (_WHEN, _when), "takes": (_TAKES, _takes),
    **dict.fromkeys(("accept", "reject", "title", "expect", "note", "avoid", "criterion", "permit", "condition", "task", "purpose"), (_TEXT, _text)),
    **dict.fromkeys(("end", "otherwise", "yes", "no", "also"), (_BARE, _bare)),
}  # fmt: skip


def quick(text: str) -> Line | Step | None:
    """The node of a statement that is plain enough, else None."""
    head = text.lstrip(" \t").split(" ", 1)[0].split("\t", 1)[0].split('"', 1)[0]
    way = _WAYS.get(head)
    if way is None:
        return None
    match = way[0].fullmatch(text)
    return way[1](match) if match is not None else None
