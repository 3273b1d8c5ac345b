"""Which statements a job goes through if everything is accepted, at the worst, or with results given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Ask, Check, Group, Hold, Mark, Measure, Procedure, Repeat, Step, When
from procforge.model.tree import bodies


class Way(StrEnum):
    """The ways through a job that a plan is made for."""

    BEST = "everything accepted"
    GIVEN = "with the results given"
    WORST = "the longest way"


@dataclass(frozen=True, slots=True)
class Walk:
    """The statements met, by id, with how many times each is done."""

    times: Mapping[int, int]


def seconds(work: AnyWork) -> Fraction:
    """The stated duration of one statement, 0 where none is stated."""
    if isinstance(work, Step | Check | Measure | Hold) and work.takes is not None:
        return work.takes.si
    if isinstance(work, Mark) and work.form == "wait" and work.duration is not None:
        return work.duration.si
    return Fraction(0)


def walk_of(
    procedure: Procedure,
    variant: Variant,
    way: Way,
    rejected: frozenset[str] = frozenset(),
    unreached: frozenset[int] = frozenset(),
) -> Walk:
    """The statements of one way. `rejected` names the checks taken as rejected on the way `GIVEN`."""
    found: dict[int, int] = {}
    _Walker(variant, way, rejected, unreached).body(procedure.body, 1, found)
    return Walk(found)


@dataclass(frozen=True, slots=True)
class _Walker:
    variant: Variant
    way: Way
    rejected: frozenset[str]
    unreached: frozenset[int]

    def shown(self, work: AnyWork) -> bool:
        return work.only_for.holds(self.variant) and id(work) not in self.unreached

    def body(self, body: tuple[AnyWork, ...], times: int, found: dict[int, int]) -> None:
        for work in body:
            if self.shown(work):
                found[id(work)] = found.get(id(work), 0) + times
                for arm, factor in self.arms(work):
                    self.body(arm, times * factor, found)

    def arms(self, work: AnyWork) -> Iterator[tuple[tuple[AnyWork, ...], int]]:
        """The bodies gone through, and how often."""
        if isinstance(work, Ask):
            going = [arm for arm in (work.yes, work.no) if not _stops(arm)]
            arms = going or [work.yes, work.no]
            yield (self.longest(arms) if self.way is Way.WORST else self.shortest(arms)), 1
        elif isinstance(work, When):
            good, bad = (work.body, work.otherwise) if work.accepted else (work.otherwise, work.body)
            if self.way is Way.WORST:
                arms = [arm for arm in (good, bad) if not _stops(arm)] or [good, bad]
                yield self.longest(arms), 1
            else:
                yield (bad if self.fails(work.check) else good), 1
        elif isinstance(work, Repeat):
            fails = self.way is Way.WORST or self.fails(work.check)
            yield work.body, max(1, work.times) if fails else 1
            if fails and work.otherwise and not _stops(work.otherwise):
                yield work.otherwise, 1
        elif isinstance(work, Group) and work.form == "either":
            lanes = list(work.lanes)
            if lanes:
                yield (self.longest(lanes) if self.way is Way.WORST else self.shortest(lanes)), 1
        else:
            for inner in bodies(work):
                yield inner, 1

    def fails(self, check: str) -> bool:
        return self.way is Way.GIVEN and (check in self.rejected or check.partition(" of ")[0] in self.rejected)

    def length(self, body: tuple[AnyWork, ...]) -> Fraction:
        total = Fraction(0)
        for work in body:
            if self.shown(work):
                total += seconds(work)
                total += sum((self.length(arm) * factor for arm, factor in self.arms(work)), Fraction(0))
        return total

    def longest(self, arms: list[tuple[AnyWork, ...]]) -> tuple[AnyWork, ...]:
        return max(arms, key=self.length)

    def shortest(self, arms: list[tuple[AnyWork, ...]]) -> tuple[AnyWork, ...]:
        return min(arms, key=self.length)


def _stops(body: tuple[AnyWork, ...]) -> bool:
    return any(isinstance(work, Mark) and work.form == "stop" for work in body)
