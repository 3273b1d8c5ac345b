"""What a calculation at the bench is: its options, and the answer it gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from procforge.engineering.base import Outside, Result
from procforge.engineering.figures import Fault

if TYPE_CHECKING:
    from procforge.reckon.given import Given


@dataclass(frozen=True, slots=True)
class Param:
    """One option. `kind`: a kind of quantity (`KINDS`), or one of the words of `given.READERS`.

    `default` is text, read like the user's own; without one and not `optional` the option must be given.
    """

    name: str
    kind: str
    help: str
    default: str = ""
    optional: bool = False
    many: bool = False

    @property
    def required(self) -> bool:
        """Whether the command can't do without it."""
        return not (self.default or self.optional or self.kind == "flag")


@dataclass(frozen=True, slots=True)
class Figure:
    """One computed number: its name in words, the cited result, and the `unit` and `digits` it is printed with."""

    name: str
    result: Result
    unit: str = ""
    digits: int = 3


@dataclass(frozen=True, slots=True)
class Words:
    """An answer that is no single number, such as an order of bolts; `rows` make a small table under it."""

    name: str
    text: str
    source: str = ""
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """What is printed: figures and words in order, and what is wrong with the job (`faults`)."""

    parts: tuple[Figure | Words, ...]
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Wrong:
    """No answer: the `option` at fault ("" for the inputs together), why, and what to write instead."""

    option: str
    message: str
    hint: str = ""


Run: TypeAlias = "Callable[[Given], Answer | Wrong]"


@dataclass(frozen=True, slots=True)
class Calculation:
    """One sub-command."""

    name: str
    group: str
    title: str
    params: tuple[Param, ...]
    run: Run
    example: str = ""


def refused(outside: Outside, option: str = "") -> Wrong:
    """What an engineering function refused, as the user's mistake."""
    return Wrong(option, outside.message, outside.hint)


def answer(*figures: Figure | Outside, faults: tuple[Fault, ...] = ()) -> Answer | Wrong:
    """The figures as an answer; the first that could not be computed is why there is none."""
    good: list[Figure | Words] = []
    for one in figures:
        if isinstance(one, Outside):
            return refused(one)
        good.append(one)
    return Answer(tuple(good), faults)


def figure(name: str, result: Result | Outside, unit: str = "", digits: int = 3) -> Figure | Outside:
    """A figure of a result, or why there is none."""
    return result if isinstance(result, Outside) else Figure(name, result, unit, digits)
