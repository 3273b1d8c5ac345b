"""Generated jobs on the two rigs, kept as trees: random tangles, and sound jobs with a few slips and blocks put in."""

from __future__ import annotations

import re
from copy import deepcopy
from random import Random

from simulator.tangles import STEPS as PLUG_STEPS
from simulator.tangles import Tangle
from simulator.text import Block, Item, Line, bodies, render, step

from deciders.meaning import NUTS_RIG, PLUG_RIG, Rig

MORE = ("reaccumulates", "tested in service", "opening witnessed")
NUTS_STEPS = [
    "isolate inlet", "isolate bypass only for large", "isolate inlet, bypass only for large", "lock inlet",
    "lock bypass only for large", "unlock inlet", "return inlet", "return bypass only for large", "vent vessel", "shut vent",
    "open vent", "prove vessel", "ease nuts", "remove nuts", "remove cover", "fit cover", "tighten nuts", "look-into vessel",
    "clear area", "leak-test vessel",
]  # fmt: skip
HOLD = Line('hold H1 "Zero" by supervisor', ["sees vessel", "before remove cover"])


class Tree:
    """One job: its items, the rig it is for, and the files."""

    def __init__(self, seed: int) -> None:
        self.seed = seed
        chance = Random(f"tree {seed}")
        self.nuts, self.more = chance.random() < 0.5, chance.choice(MORE)
        self.chance, self.steps = chance, NUTS_STEPS if self.nuts else PLUG_STEPS
        self.kind = chance.choice(("tangle", "wrapped", "wrapped", "slip", "slips"))
        if self.kind == "tangle":
            tangle = Tangle(chance, chance.randint(4, 12))
            tangle.steps = self.steps
            self.items = tangle.body(2, 6)
            if self.nuts:
                self.items = [i for i in self.items if self.known(i)]
        else:
            self.items = self.job()
            for _ in range(chance.randint(0, 3)):
                self.wrap()
            for _ in range({"wrapped": 0, "slip": 1, "slips": chance.randint(2, 4)}[self.kind]):
                self.slip()
        self.lines: dict[int, int] = {}
        self.files = files(seed, self.nuts, self.more, self.items, self.lines)

    def known(self, item: Item) -> bool:
        """The nuts rig has neither plug nor ring: statements that judge or handle them are taken out."""
        if isinstance(item, Line):
            item.text = re.sub(r"( only for large) only for small$", r"\1", item.text)
            return not any(w in item.text for w in (" plug", " ring", " seat"))
        item.arms = [(head, [i for i in body if self.known(i)]) for head, body in item.arms]
        return True

    def rig(self, large: bool) -> Rig:
        """The rig in one variant."""
        return Rig(self.nuts, self.more, large)

    # ---- a sound job -----------------------------------------------------------------------------
    def job(self) -> list[Item]:
        """Isolate, vent, prove, open, build up, return."""
        maybe = self.chance.random
        found: list[Item] = [step("isolate inlet"), *([step("isolate bypass only for large")] if self.nuts else [])]
        found += [step("lock inlet"), *([step("lock bypass only for large")] if self.nuts else []), step("vent vessel")]
        found += [step("shut vent"), *self.proof()]
        if self.more == "opening witnessed" or maybe() < 0.3:
            found.append(deepcopy(HOLD))
        found += (
            [step("ease nuts"), step("remove nuts")]
            if self.nuts and maybe() < 0.6
            else [step("remove nuts")] * self.nuts
        )
        found.append(step("remove cover"))
        found += [] if self.nuts else self.insides()
        found += [step("look-into vessel"), step("fit cover"), *([step("tighten nuts")] if self.nuts else [])]
        if self.more == "tested in service":
            found += [
                step("clear area"),
                step("unlock inlet"),
                *([step("unlock bypass only for large")] if self.nuts else []),
            ]
            found += [step("return inlet"), *([step("return bypass only for large")] if self.nuts else [])]
            return [*found, step("leak-test vessel")]
        # Without a supply the rig cannot be tested before it is returned; the job ends open, by a stop or as it stands.
        return [*found, Line("stop here")]

    def proof(self) -> list[Item]:
        """The vessel proved, in one of the ways a job may."""
        way = self.chance.randrange(5)
        prove: list[Item] = [step("prove vessel as proof")]
        if way == 0:
            return [
                Block([("repeat until proof accepted, at most 2 times", prove), ("otherwise", [Line("stop here")])])
            ]
        if way == 1:
            return [*prove, Block([("when proof rejected", [Line("stop here")])])]
        if way == 2:
            return [Block([('ask "So?"\nyes', [step("prove vessel")]), ("no", [step("prove vessel")])])]
        return [step("prove vessel")]

    def insides(self) -> list[Item]:
        """Plug, seat and ring out, judged and in again; sometimes the decision is read twice."""
        found: list[Item] = [
            step("remove plug, seat"),
            Line("check look on plug"),
            Block([("when look rejected", [step("renew plug")])]),
        ]
        if self.chance.random() < 0.5:
            found += [Line("check size on ring"), Block([("when size rejected", [step("renew ring")])]),
                      Block([("when size accepted", [step("fit ring")])])]  # fmt: skip
        else:
            found.append(step("renew ring"))
        return [*found, step("fit seat"), step("fit plug")]

    # ---- slips and blocks ------------------------------------------------------------------------
    def spot(self) -> tuple[list[Item], int]:
        places = [(b, n) for b in bodies(self.items) for n in range(len(b))]
        return self.chance.choice(places) if places else (self.items, 0)

    def slip(self) -> None:
        """One statement dropped, doubled, moved, swapped with the next or put in."""
        inner, n = self.spot()
        if not inner:
            return
        way = self.chance.choice(("drop", "drop", "swap", "move", "double", "extra", "mark", "turn"))
        if way == "drop":
            del inner[n]
        elif way == "swap" and n + 1 < len(inner):
            inner[n], inner[n + 1] = inner[n + 1], inner[n]
        elif way in ("move", "double") and isinstance(inner[n], Line):
            item = deepcopy(inner[n]) if way == "double" else inner.pop(n)
            target = self.chance.choice(bodies(self.items))
            target.insert(self.chance.randint(0, len(target)), item)
        elif way == "extra":
            inner.insert(n, step(self.chance.choice(self.steps)))
        elif way == "mark":
            inner.insert(n, Line(self.chance.choice(["stop here", "may stop here", "handover", "wait 5 min"])))
        elif way == "turn" and isinstance(item := inner[n], Block) and item.arms[0][0].startswith("when"):
            head = item.arms[0][0]
            pair = ("rejected", "accepted") if "rejected" in head else ("accepted", "rejected")
            item.arms[0] = (head.replace(*pair), item.arms[0][1])

    def wrap(self) -> None:
        """A few neighbours put into a block that changes nothing for a sound job, or may."""
        inner, n = self.spot()
        part = inner[n : n + self.chance.randint(1, 3)]
        if not part:
            return
        size = len(part)
        twin = deepcopy(part)
        form = self.chance.choice(("ask", "either", "any", "together", "lanes", "repeat"))
        block = {
            "ask": Block([('ask "So?"\nyes', part), ("no", twin)]),
            "either": Block([("either", part), ("or", twin)]),
            "any": Block([("any order", part)]),
            "together": Block([("together", part), ("also", [step("mark seat" if not self.nuts else "clear area")])]),
            "lanes": Block([("together", part[:1]), ("also", part[1:])]),
            "repeat": Block([('ask "So?"\nyes', part), ("no", [Line("stop here")])]),
        }[form]
        inner[n : n + size] = [block]


def files(seed: object, nuts: bool, more: str, items: list[Item], lines: dict[int, int]) -> dict[str, str]:
    """The files of a job; fills in the line each statement stands on."""
    head = [f'procedure T-{seed} "Job"', 'use "rig.equip"', "crew 1 fitter, 1 supervisor"]
    number(items, len(head) + 1, lines)
    text = "\n".join([*head, *render(items)]) + "\n"
    return {"rig.equip": (NUTS_RIG if nuts else PLUG_RIG).format(more="  " + more), "job.proc": text}


def number(items: list[Item], line: int, lines: dict[int, int]) -> int:
    """Notes the line of each statement; the line after the last."""
    for item in items:
        lines[id(item)] = line
        if isinstance(item, Line):
            line += 1 + len(item.under)
        else:
            for head, body in item.arms:
                line = number(body, line + len(head.split("\n")), lines)
            line += 1
    return line
