"""What the tool has to say about a user's text: findings are values, never exceptions."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Generic, TypeVar

from procforge.text import Span

T = TypeVar("T")


class Severity(IntEnum):
    """How grave a finding is; notes are advice and leave the exit code alone."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        """The word printed before the message."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Mark:
    """A place underlined in the frame, with a few words; the finding's own span is the main mark."""

    span: Span
    label: str


@dataclass(frozen=True, slots=True)
class Beat:
    """One line of a counter-example: what is done there and the state after it.

    `skipped`: written, but not for this variant. `quiet`: done on the way, but beside the point.
    """

    span: Span
    text: str
    state: str
    skipped: bool = False
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault: its rule, place, reason, basis and mend.

    `path` is the shortest way there; `variants` the model/service names it holds for (empty: all);
    `also` names other findings that rest on the same fact and are printed with this one.
    """

    rule: str
    severity: Severity
    message: str
    span: Span
    label: str = ""
    marks: tuple[Mark, ...] = ()
    path: tuple[Beat, ...] = ()
    variants: tuple[str, ...] = ()
    why: str = ""
    basis: str = ""
    mend: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome(Generic[T]):
    """The value of a stage and what it found; every stage returns both."""

    value: T
    findings: tuple[Finding, ...] = ()


def in_order(findings: list[Finding]) -> list[Finding]:
    """By file, line, column, then gravest first: the order they are printed in."""
    return sorted(findings, key=lambda f: (f.span.source.path, f.span.line, f.span.column, -f.severity, f.rule))
