"""The fixed cases as jobs of the two rigs; the Promela models of the same names in `promela/` are typed by hand.

Each name has a sound and a faulty twin, the rule asked, and the shortest length at which the faulty one breaks it,
counted by hand.
"""

from __future__ import annotations

from typing import NamedTuple

from simulator.text import Block, Item, Line, step

from deciders.meaning import Rig
from deciders.tree import files

SAFE = ("isolate inlet", "lock inlet", "vent vessel", "shut vent")


class Fixed(NamedTuple):
    """A case: rig, jobs, rule, length of the faulty one."""

    name: str
    nuts: bool
    more: str
    sound: list[Item]
    faulty: list[Item]
    rule: str
    length: int


def steps(*words: str) -> list[Item]:
    """Plain steps one after the other."""
    return [step(w) for w in words]


def asked(yes: list[Item], no: list[Item]) -> Item:
    """A question with its two ways."""
    return Block([('ask "Is the gauge in date?"\nyes', yes), ("no", no)])


PROOF = steps("prove vessel as proof")
STALE = steps("remove cover", "look-into vessel", "fit cover")
RING = [*steps("remove plug, seat"), Line("check size on ring")]
AGAIN = Block([("repeat until proof accepted, at most 2 times", PROOF)])
STOPS = Block([("repeat until proof accepted, at most 2 times", PROOF), ("otherwise", [Line("stop here")])])
FIXED = [
    Fixed("two-branches", True, "tested in service",
          [*steps(*SAFE), asked(steps("prove vessel"), steps("prove vessel")), *steps("ease nuts")],
          # isolate, lock, vent, shut, the question, ease
          [*steps(*SAFE), asked(steps("prove vessel"), []), *steps("ease nuts")], "opened-before-proved", 6),
    Fixed("pressure-back", True, "tested in service",
          steps(*SAFE, "prove vessel", "clear area", "unlock inlet", "return inlet", *SAFE, "prove vessel", "ease nuts"),
          # four and the proof 5, clear 6, unlock 7, return 8, isolate 9, lock 10, ease 11
          steps(*SAFE, "prove vessel", "clear area", "unlock inlet", "return inlet", "isolate inlet", "lock inlet", "ease nuts"),
          "opened-before-proved", 11),
    Fixed("correlated", False, "tested in service",
          [*RING, Block([("when size rejected", steps("renew ring"))]), Block([("when size accepted", steps("fit ring"))]), *steps("fit seat")],
          # two parts out, the check 3, its outcome 4, fit 5
          [*RING, Block([("when size rejected", steps("renew ring"))]), Block([("when size rejected", steps("fit ring"))]), *steps("fit seat")],
          "seal-not-seated", 5),
    Fixed("rounds-run-out", True, "tested in service", [*steps(*SAFE), STOPS, *steps("ease nuts")],
          # four, twice a proof and its outcome, ease
          [*steps(*SAFE), AGAIN, *steps("ease nuts")], "opened-before-proved", 9),
    Fixed("never-proves-again", False, "reaccumulates",
          [*steps("isolate inlet", "lock inlet"), Block([("repeat until look accepted, at most 3 times",
           [*steps("vent vessel", "shut vent", "prove vessel"), *STALE, Line("check look on plug")])])],
          # five, then out, look, in, the check 9 and its outcome 10, out again 11
          [*steps(*SAFE, "prove vessel"), Block([("repeat until look accepted, at most 3 times", [*STALE, Line("check look on plug")])])],
          "opened-before-proved", 11),
    Fixed("bypass", True, "tested in service",
          steps("isolate inlet", "isolate bypass only for large", "lock inlet", "lock bypass only for large", *SAFE[2:], "prove vessel", "ease nuts"),
          steps(*SAFE, "prove vessel", "ease nuts"), "opened-before-isolated", 6),
    Fixed("lanes", True, "tested in service",
          [*steps("isolate inlet", "lock inlet"), Block([("together", steps("vent vessel", "shut vent", "prove vessel")),
           ("also", steps("clear area"))]), *steps("ease nuts")],
          # isolate, lock, then the lane that opens goes first
          [*steps("isolate inlet", "lock inlet"), Block([("together", steps("vent vessel", "shut vent", "prove vessel")),
           ("also", steps("ease nuts"))])], "opened-before-relieved", 3),
]  # fmt: skip


class FixedTree:
    """A fixed job in the shape of a generated one."""

    kind = "fixed"

    def __init__(self, case: Fixed, sound: bool) -> None:
        self.seed = f"{case.name}-{'sound' if sound else 'faulty'}"
        self.nuts, self.more = case.nuts, case.more
        self.items = case.sound if sound else case.faulty
        self.lines: dict[int, int] = {}
        self.files = files(case.name, case.nuts, case.more, self.items, self.lines)

    def rig(self, large: bool) -> Rig:
        """The rig in one variant."""
        return Rig(self.nuts, self.more, large)
