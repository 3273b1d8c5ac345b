"""Turns the parser's reductions into nodes while it parses (no tree is kept)."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from procforge.syntax.nodes import (
    AtLeast,
    AtMost,
    Between,
    Condition,
    Double,
    Event,
    Line,
    Modifier,
    Named,
    Object,
    Qty,
    Single,
    Step,
    Tolerance,
    Word,
)

_ESCAPE = re.compile(r"\\(.)")


def _word(token: Any) -> Word:
    return Word.at(str(token), token.line - 1, token.column, len(token))


def _string(token: Any) -> Word:
    text = token[1:-1]
    if "\\" in text:
        text = _ESCAPE.sub(r"\1", text)
    return Word.at(text, token.line - 1, token.column, len(token))


def _of(cls: Callable[..., Any]) -> Callable[[list[Any]], Any]:
    return lambda children: cls(*children)


def _modifier(kind: str) -> Callable[[list[Any]], Modifier]:
    def make(children: list[Any]) -> Modifier:
        first = children[0]
        if isinstance(first, Qty):
            return Modifier(kind, (), first)
        return Modifier(kind, first if isinstance(first, tuple) else (first,))

    return make


def _step(children: list[Any]) -> Step:
    what = children[1]
    text = what if isinstance(what, Word) else None
    return Step(children[0], what if isinstance(what, tuple) else (), text, tuple(children[2:]))


class Builder:
    """Callbacks by rule and terminal name, as lark looks them up; any other rule becomes a `Line`."""

    NAME = NUMBER = UNIT = THREAD = VALUE = DATE = DEFINES = SIGNER = HOLDS = staticmethod(_word)
    NEW = NOT = NONE = HALF = QUARTER = PLUS_MINUS = staticmethod(_word)
    STRING = staticmethod(_string)

    qty = staticmethod(_of(Qty))
    object = staticmethod(_of(Object))
    single = staticmethod(_of(Single))
    double = staticmethod(_of(Double))
    condition = staticmethod(_of(Condition))
    tolerance = staticmethod(_of(Tolerance))
    named = staticmethod(_of(Named))
    event = staticmethod(_of(Event))
    between = staticmethod(_of(Between))
    at_most = staticmethod(_of(AtMost))
    at_least = staticmethod(_of(AtLeast))
    step = staticmethod(_step)

    names = objects = conditions = events = percents = feed = feeds_list = crew_item = event_name = staticmethod(tuple)

    with_ = staticmethod(_modifier("with"))
    at_ = staticmethod(_modifier("at"))
    by_role = staticmethod(_modifier("by"))
    by_turn = staticmethod(_modifier("turn"))
    to_ = staticmethod(_modifier("to"))
    only_ = staticmethod(_modifier("only"))
    as_ = staticmethod(_modifier("as"))
    from_ = staticmethod(_modifier("from"))

    @staticmethod
    def scope(children: list[Any]) -> Any:
        return children[0]

    bolt_class = lubricant_word = scope

    def __getattr__(self, rule: str) -> Callable[[list[Any]], Line]:
        if not rule.islower() or rule.startswith("_"):
            raise AttributeError(rule)
        return lambda children: Line(rule, tuple(children))
