"""What is lifted by hand and what needs an aid: mass against the hand limit for the people there are."""

from __future__ import annotations

from dataclasses import dataclass

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import Fault, positive, shown
from procforge.findings import Severity

HAND_LIMIT = 23.0  # kg, one person
HAND_SOURCE = "NIOSH lifting equation (1991), load constant 23 kg (from memory)"
TEAM_SOURCE = "HSE L23: a team of two lifts 2/3, of three 1/2 of the sum of its members' limits (from memory)"
MOST_MASS = 1e6  # kg
LIMITS = (
    "a good hold, close to the body, no twist, at knuckle height: less in any other case",
    "site rules and the law of the country come first",
)

#: Number of people: what each may count for.
TEAM: dict[int, float] = {1: 1.0, 2: 2 / 3, 3: 1 / 2}


@dataclass(frozen=True, slots=True)
class Lift:
    """How a mass is lifted: `by hand` or `with an aid`; the limit by hand, and what is wrong."""

    way: str
    hand_limit: Result
    faults: tuple[Fault, ...]


def hand_limit(people: int, one: float = HAND_LIMIT) -> Result | Outside:
    """The most mass in kg that `people` lift by hand, from the limit of `one` person in kg."""
    if people not in TEAM:
        return Outside(
            f"there is no limit for {people} people lifting by hand",
            "write 1 to 3 people, or name a lifting aid" if people > 0 else "write how many people lift",
        )
    if bad := positive("the limit of one person", one, "kg", 50.0):
        return bad
    share = TEAM[people]
    return Result(
        people * one * share,
        "kg",
        "limit = people × one person's limit × share",
        (Input("people", people), Input("limit of one person", one, "kg"), Input("share", share)),
        (HAND_SOURCE if one == HAND_LIMIT else "as stated") + (f"; {TEAM_SOURCE}" if people > 1 else ""),
        LIMITS,
    )


def judge_lift(
    mass: float, people: int, rating: float | None = None, tackle: float = 0.0, one: float = HAND_LIMIT
) -> Lift | Outside:
    """A mass in kg against the hand limit; above it an aid must be named whose `rating` in kg covers it.

    `tackle` is the mass in kg of slings and shackles that hang on the aid too. Kinds of fault: `lifting-aid-missing`,
    `lifting-aid-too-small`.
    """
    limit = hand_limit(people, one)
    if isinstance(limit, Outside) and rating is not None and people > 0:
        limit = hand_limit(max(TEAM), one)  # more people than a team: they steer, the aid lifts
    if isinstance(limit, Outside):
        return limit
    bad = positive("the mass", mass, "kg", MOST_MASS)
    if bad is None and rating is not None:
        bad = positive("the rating of the lifting aid", rating, "kg", MOST_MASS)
    if bad is None and tackle:
        bad = positive("the mass of the tackle", tackle, "kg", MOST_MASS)
    if bad:
        return bad
    by_hand = mass <= limit.value * (1 + 1e-9)
    if rating is None:
        missing = Fault(
            "lifting-aid-missing",
            Severity.ERROR,
            f"{shown(mass, 'kg')} is more than {_team(people)} may lift by hand, {shown(limit.value, 'kg')}",
            "name a lifting aid with its rating" + (", or more people" if people < max(TEAM) else ""),
        )
        return Lift("by hand" if by_hand else "with an aid", limit, () if by_hand else (missing,))
    load = mass + tackle
    if load <= rating * (1 + 1e-9):
        return Lift("with an aid", limit, ())
    what = f"{shown(load, 'kg')}" + (" with its tackle" if tackle else "")
    small = Fault(
        "lifting-aid-too-small",
        Severity.ERROR,
        f"{what} is more than the rating of the lifting aid, {shown(rating, 'kg')}",
        "name an aid with a higher rating; the rating falls with the angle of the slings",
    )
    return Lift("with an aid", limit, (small,))


def _team(people: int) -> str:
    return "one person" if people == 1 else f"{people} people"
