"""Statements as the simulator runs them. Instances are told apart by identity."""

from __future__ import annotations

from dataclasses import dataclass, field

from simulator.states import Formula, Literal

Asked = list[tuple[str, Formula]]
#: Where a need stands: id of the statement, its place in the file, the words of the micro-step.
Place = tuple[str, str, str]
Body = tuple["Instruction", ...]


@dataclass(eq=False, slots=True, weakref_slot=True)
class Micro:
    """One micro-step: needs are checked, then facts set; what it leaves open or unknown besides."""

    place: Place
    needs: Asked = field(default_factory=list)
    effects: list[Literal] = field(default_factory=list)
    either: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    cost: int = 1


@dataclass(eq=False, slots=True, weakref_slot=True)
class Outcome:
    """The result of a check or a reading becomes known."""

    place: Place
    result: str
    accepted: list[Literal]
    rejected: list[Literal]


@dataclass(eq=False, slots=True, weakref_slot=True)
class Choice:
    """A question or a free choice."""

    place: Place
    arms: tuple[tuple[str, Body], ...]


@dataclass(eq=False, slots=True, weakref_slot=True)
class Read:
    """A branch on the last result."""

    result: str
    accepted: Body
    rejected: Body


@dataclass(eq=False, slots=True, weakref_slot=True)
class Repeat:
    """Rounds until a result is accepted; `times` 0 for no bound."""

    result: str
    body: Body
    otherwise: Body
    times: int


@dataclass(eq=False, slots=True, weakref_slot=True)
class Lanes:
    """Several lanes: interleaved if `together`, else one whole after the other in any order."""

    lanes: tuple[Body, ...]
    together: bool


@dataclass(eq=False, slots=True, weakref_slot=True)
class Halt:
    """The path ends here."""

    place: Place
    needs: Asked


@dataclass(eq=False, slots=True, weakref_slot=True)
class Demand:
    """Needs at no cost."""

    place: Place
    needs: Asked


Instruction = Micro | Outcome | Choice | Read | Repeat | Lanes | Halt | Demand


def flat(body: Body) -> list[Instruction]:
    """All instructions of a body and its inner bodies."""
    found: list[Instruction] = []
    for one in body:
        found.append(one)
        inner: tuple[Body, ...] = ()
        if isinstance(one, Choice):
            inner = tuple(b for _, b in one.arms)
        elif isinstance(one, Read):
            inner = (one.accepted, one.rejected)
        elif isinstance(one, Repeat):
            inner = (one.body, one.otherwise)
        elif isinstance(one, Lanes):
            inner = one.lanes
        for b in inner:
            found += flat(b)
    return found
