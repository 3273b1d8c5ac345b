"""Small machines with deeply nested work: blocks in blocks, results read again and again, lanes that meet on one fact."""

from __future__ import annotations

from random import Random

from simulator.text import Block, Item, Line, step

MACHINE = """\
equipment RIG "Rig"
models small, large
isolator inlet "Inlet"
  in service open, isolates when shut
valve vent "Vent"
  in service shut
pressure-space vessel "Vessel"
  holds water
  isolated by inlet
  vented by vent
{more}
part plug "Plug"
  judged by look
part seat "Seat"
  under plug
  sealed by ring
seal ring "Ring"
part cover "Cover"
  closes vessel
"""
STEPS = [
    "remove plug", "fit plug", "remove seat", "fit seat", "renew plug", "rebuild plug", "fit ring", "renew ring", "mark seat",
    "isolate inlet", "lock inlet", "unlock inlet", "return inlet", "vent vessel", "shut vent", "open vent", "prove vessel",
    "remove cover", "fit cover", "look-into vessel", "remove plug, seat", "clear area", "leak-test vessel",
]  # fmt: skip
READS = ("look", "size", "proof")


class Tangle:
    """One body of about `size` statements."""

    def __init__(self, chance: Random, size: int) -> None:
        self.chance = chance
        self.left = size
        self.steps = STEPS
        self.machine = MACHINE.format(
            more=chance.choice(["  reaccumulates", "  tested in service", "  opening witnessed"])
        )

    def body(self, depth: int, most: int = 5) -> list[Item]:
        """A few statements."""
        found: list[Item] = []
        for _ in range(self.chance.randint(1, most)):
            if self.left > 0:
                found.append(self.one(depth))
        return found

    def one(self, depth: int) -> Item:
        """One statement."""
        self.left -= 1
        lot = self.chance.random()
        if lot < 0.45 or (depth == 0 and lot < 0.7):
            scope = self.chance.choice(["", "", "", "", "", " only for small"])
            return step(self.chance.choice(self.steps) + scope)
        if lot < 0.65:
            return self.judged()
        if lot < 0.70 and depth > 0:
            return Line(self.chance.choice(["stop here", "stop here", "may stop here", "handover", "wait 5 min"]))
        if lot < 0.73:
            return Line('hold H1 "Zero" by supervisor', ["sees vessel", "before remove cover"])
        return self.block(depth - 1)

    def judged(self) -> Item:
        """Something that gives a result."""
        return self.chance.choice(
            [
                Line("check look on plug"),
                Line("check look on plug, ring"),
                Line("check size on ring"),
                step("prove vessel as proof"),
            ]
        )

    def block(self, depth: int) -> Item:
        """A block of any kind."""
        chance, body = self.chance, self.body
        result = chance.choice(READS)
        form = chance.choice(
            ["ask", "either", "when", "when", "repeat", "repeat", "any", "any", "together", "together", "only", "lend"]
        )
        depth = max(depth, 0)
        if form == "ask":
            return Block([('ask "So?"\nyes', body(depth, 3)), ("no", body(depth, 2))])
        if form == "either":
            return Block(
                [("either", body(depth, 3)), ("or", body(depth, 2)), *([("or", [])] if chance.random() < 0.3 else [])]
            )
        if form == "when":
            other = [("otherwise", body(depth, 2))] if chance.random() < 0.5 else []
            return Block([(f"when {result} {chance.choice(['accepted', 'rejected'])}", body(depth, 3)), *other])
        if form == "repeat":
            bound = f", at most {chance.randint(1, 3)} times" if chance.random() < 0.8 else ""
            inner = body(depth, 3)
            if chance.random() < 0.7:
                checks = {
                    "look": Line("check look on plug"),
                    "size": Line("check size on ring"),
                    "proof": step("prove vessel as proof"),
                }
                inner.insert(chance.randint(0, len(inner)), checks[result])
            other = [("otherwise", body(depth, 2))] if bound and chance.random() < 0.6 else []
            return Block([(f"repeat until {result} accepted{bound}", inner), *other])
        if form == "any":
            return Block([("any order", body(depth, 3))])
        if form == "together":
            third = [("also", body(depth, 2))] if chance.random() < 0.2 else []
            return Block([("together", body(depth, 3)), ("also", body(depth, 3)), *third])
        if form == "only":
            return Block([(f"only for {chance.choice(['small', 'large'])}", body(depth, 3))])
        return Block([("lend-back", body(depth, 3))])
