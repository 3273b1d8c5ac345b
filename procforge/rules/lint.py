"""Prose of steps, criteria and holds, and what is wrong with its words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from procforge.model.procedure import Check, Hold, Mark, Measure, Step
from procforge.rules.base import Case
from procforge.text import Span

LONGEST = 20
_VAGUE = re.compile(
    r"\b(properly|adequate(?:ly)?|appropriate(?:ly)?|as necessary|as required|as needed|if necessary|if required|if needed"
    r"|where necessary|firmly|sufficient(?:ly)?|reasonabl[ey]|satisfactor(?:y|ily)|suitabl[ey]|correctly|good condition|OK|okay"
    r"|approximately|etc|and so on|and/or|should|(?-i:may)|might|could|normally|usually|periodically|excessive(?:ly)?"
    r"|not too (?:tight|loose|fast|hard))\b",
    re.IGNORECASE,
)
_JOINED = re.compile(r"(;|\band then\b|,\s*then\b)", re.IGNORECASE)


def prose(case: Case) -> Iterator[tuple[str, Span]]:
    """Every text a technician acts on, with its place."""
    for work in case.works:
        if isinstance(work, (Step, Check, Measure, Hold)) or (
            isinstance(work, Mark) and work.form in ("stop", "may-stop")
        ):
            yield from zip(work.prose, work.prose_where, strict=True)
        if isinstance(work, Step) and work.text:
            yield work.text, work.where
        if isinstance(work, Step) and work.expect:
            yield work.expect, work.where
        if isinstance(work, Check):
            for text in (*work.accept, *work.reject):
                yield text, _line_of(work.where, text)
        if isinstance(work, Hold) and work.criterion:
            yield work.criterion, _line_of(work.where, work.criterion)


def _line_of(where: Span, text: str) -> Span:
    """The line under a statement that holds a text."""
    for number in range(where.line, min(where.line + 30, len(where.source.lines)) + 1):
        at = where.source.line(number).find(text)
        if at >= 0:
            return Span(where.source, number, at + 1, len(text))
    return where


def narrowed(where: Span, text: str, part: str) -> Span:
    """The place of a part of a text."""
    line = where.source.line(where.line)
    at = line.find(text, max(0, where.column - 2))
    inside = text.find(part)
    if at < 0 or inside < 0:
        return where
    return Span(where.source, where.line, at + inside + 1, len(part))


def sentences(text: str) -> list[str]:
    """The sentences of a paragraph."""
    return [s.strip() for s in re.split(r"(?<=[.!?])\s+", text) if s.strip()]


def vague(text: str) -> str:
    """The first word that can't be checked, empty if none."""
    found = _VAGUE.search(text)
    return found.group() if found else ""


def joined(text: str) -> str:
    """What joins two instructions in one sentence, empty if nothing does."""
    found = _JOINED.search(text)
    return found.group() if found else ""
