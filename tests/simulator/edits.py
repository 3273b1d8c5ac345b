"""Random edits of a job: faults a planner could make, and blocks wrapped around what stands there."""

from __future__ import annotations

from copy import deepcopy
from random import Random

from simulator.machines import Machine
from simulator.text import Block, Item, Line, bodies, step

#: Verbs with the kinds of item a random step gives them.
PAIRS: dict[str, tuple[str, ...]] = {
    "isolate": ("isolator", "valve"), "return": ("isolator", "valve"), "open": ("valve", "isolator"),
    "shut": ("valve", "isolator"), "switch-off": ("isolator",), "switch-on": ("isolator",), "lock": ("isolator", "valve"),
    "unlock": ("isolator", "valve"), "vent": ("pressure-space",), "drain": ("pressure-space",),
    "purge": ("pressure-space",), "prove": ("pressure-space", "motion", "stored-energy"), "gas-test": ("pressure-space",),
    "pressurise": ("pressure-space",), "leak-test": ("pressure-space",), "let-down": ("pressure-space",),
    "connect": ("supply",), "disconnect": ("supply",), "look-into": ("pressure-space",), "try-start": ("driver", "motion"),
    "relieve": ("stored-energy",), "tension": ("stored-energy",), "charge": ("stored-energy", "pressure-space"), "ease": ("fastener",),
    "nip-up": ("fastener",), "remove": ("fastener", "part", "guard", "seal", "temporary", "safety-device"),
    "mark": ("part", "seal", "fastener"), "clean": ("part",), "lift": ("part",), "align": ("part",),
    "rebuild": ("part",), "renew": ("part", "fastener", "seal"), "exchange": ("part", "safety-device"),
    "fit": ("part", "guard", "seal", "temporary", "fastener", "safety-device"), "tighten": ("fastener",),
    "retighten": ("fastener",),
}  # fmt: skip
NEW = ("fit", "tighten")


class Editor:
    """Edits bodies in place; the results read by name are those of the machine's checks and the job's own."""

    def __init__(self, machine: Machine, chance: Random) -> None:
        self.machine = machine
        self.chance = chance

    def somewhere(self, body: list[Item]) -> tuple[list[Item], int] | None:
        """A place of an item in the body or an inner one."""
        places = [(b, n) for b in bodies(body) for n in range(len(b))]
        return self.chance.choice(places) if places else None

    def edit(self, body: list[Item]) -> str:
        """One random edit; its name."""
        ways = [self.drop, self.drop, self.swap, self.swap, self.move, self.double, self.renamed, self.extra, self.turn,
                self.empty, self.wrap, self.wrap, self.object_off, self.mark, self.reading, self.guarded, self.each,
                self.joined, self.scoped, self.old]  # fmt: skip
        way = self.chance.choice(ways)
        spot = self.somewhere(body)
        if spot is not None:
            way(body, *spot)
        return way.__name__

    def drop(self, _: list[Item], inner: list[Item], n: int) -> None:
        """A statement left out."""
        del inner[n]

    def swap(self, _: list[Item], inner: list[Item], n: int) -> None:
        """Two neighbours swapped."""
        if n + 1 < len(inner):
            inner[n], inner[n + 1] = inner[n + 1], inner[n]

    def move(self, body: list[Item], inner: list[Item], n: int) -> None:
        """A step moved elsewhere."""
        if not isinstance(inner[n], Line):
            return
        item = inner.pop(n)
        target = self.chance.choice(bodies(body))
        target.insert(self.chance.randint(0, len(target)), item)

    def double(self, body: list[Item], inner: list[Item], n: int) -> None:
        """A step done twice."""
        if isinstance(inner[n], Line):
            target = self.chance.choice(bodies(body))
            target.insert(self.chance.randint(0, len(target)), deepcopy(inner[n]))

    def renamed(self, _: list[Item], inner: list[Item], n: int) -> None:
        """Another object of the same kind."""
        item = inner[n]
        if not isinstance(item, Line):
            return
        for names in self.machine.names.values():
            for name in names:
                if f" {name}" in item.text.replace(",", " "):
                    item.text = item.text.replace(f" {name}", f" {self.chance.choice(names)}", 1)
                    return

    def object_off(self, _: list[Item], inner: list[Item], n: int) -> None:
        """One object of a list left out."""
        item = inner[n]
        if isinstance(item, Line) and ", " in item.text and item.text.startswith("step"):
            verb, rest = item.text[5:].split(" ", 1)
            objects = rest.split(", ")
            del objects[self.chance.randrange(len(objects))]
            item.text = f"step {verb} {', '.join(objects)}"

    def extra(self, _: list[Item], inner: list[Item], n: int) -> None:
        """A random step put in."""
        inner.insert(n, self.random_step())

    def random_step(self) -> Item:
        """Any verb on an item it may be used on."""
        for _ in range(20):
            verb = self.chance.choice(list(PAIRS))
            names = [n for k in PAIRS[verb] for n in self.machine.names.get(k, [])]
            if names:
                name = self.chance.choice(names)
                new = " new" if verb in NEW and self.chance.random() < 0.4 else ""
                supplies = self.machine.names.get("supply", [])
                tail = (
                    f" with {self.chance.choice(supplies)}"
                    if supplies
                    and verb in ("pressurise", "charge", "leak-test", "let-down")
                    and self.chance.random() < 0.5
                    else ""
                )
                if self.machine.scopes and self.chance.random() < 0.15:
                    tail += f" only for {self.chance.choice(self.machine.scopes)}"
                return step(f"{verb} {name}{new}{tail}")
        return step("clear area")

    def turn(self, body: list[Item], _inner: list[Item], _n: int) -> None:
        """A branch on the other outcome, or two arms swapped."""
        blocks = [(b, n) for b in bodies(body) for n, i in enumerate(b) if isinstance(i, Block)]
        if not blocks:
            return
        inner, n = self.chance.choice(blocks)
        block = inner[n]
        assert isinstance(block, Block)
        head = block.arms[0][0]
        if head.startswith("when"):
            pair = (" rejected", " accepted")
            old, new = pair if pair[0] in head else pair[::-1]
            block.arms[0] = (head.replace(old, new), block.arms[0][1])
        elif len(block.arms) > 1:
            first, last = block.arms[0], block.arms[-1]
            block.arms[0], block.arms[-1] = (first[0], last[1]), (last[0], first[1])

    def empty(self, body: list[Item], inner: list[Item], n: int) -> None:
        """An arm emptied."""
        item = inner[n]
        if isinstance(item, Block):
            self.chance.choice(item.arms)[1].clear()
        else:
            self.drop(body, inner, n)

    def mark(self, _: list[Item], inner: list[Item], n: int) -> None:
        """A stop, handover, wait or the like put in."""
        inner.insert(n, Line(self.chance.choice(["stop here", "may stop here", "handover", "wait 10 min", "handover"])))

    def reading(self, _: list[Item], inner: list[Item], n: int) -> None:
        """A reading put in: judged, as found, or without limits; its result read at once, later or never."""
        name = self.chance.choice(["gap", "drop", "gap"])
        lines = self.chance.choice([["limit 0 to 1 mm"], ["limit 0 to 1 mm"], ["limit 0 to 1 mm", "as found"], []])
        inner.insert(n, Line(f'measure {name} "Size" on {self.chance.choice(self.machine.names["part"])}', list(lines)))
        if self.chance.random() < 0.5:
            body: list[Item] = [self.random_step()]
            at = self.chance.randint(0, len(inner)) if self.chance.random() < 0.3 else n + 1
            inner.insert(at, Block([(f"when {name} {self.chance.choice(['rejected', 'accepted'])}", body)]))

    def guarded(self, body: list[Item], inner: list[Item], n: int) -> None:
        """A hold put in that sees something and guards a step that stands somewhere."""
        steps = [
            i
            for b in bodies(body)
            for i in b
            if isinstance(i, Line) and i.text.startswith("step") and len(i.text.split()) > 2
        ]
        every_name = [
            x
            for k in ("pressure-space", "motion", "stored-energy", "part", "seal")
            for x in self.machine.names.get(k, [])
        ]
        under = [f"sees {', '.join(self.chance.sample(every_name, min(len(every_name), self.chance.randint(1, 2))))}"]
        if steps and self.chance.random() < 0.7:
            words = self.chance.choice(steps).text.removeprefix("step ").split(" ", 1)
            thing = self.chance.choice(words[1].split(", ")).removesuffix(" new")
            if " with" not in thing and " at " not in thing and " as " not in thing and " only" not in thing:
                under.append(f"before {words[0]} {thing}")
        point = self.chance.choice(["hold", "witness", "review"])
        only = (
            f" only for {self.chance.choice(self.machine.scopes)}"
            if self.machine.scopes and self.chance.random() < 0.2
            else ""
        )
        inner.insert(n, Line(f'{point} P-{self.chance.randint(1, 2)} "Look" by supervisor{only}', under))

    def each(self, _: list[Item], inner: list[Item], n: int) -> None:
        """A loop over places or items."""
        names = self.machine.names.get("part", []) + self.machine.names.get("fastener", [])
        listed = ["left", "right"] if self.chance.random() < 0.4 else self.chance.sample(names, min(2, len(names)))
        body: list[Item] = [self.random_step()]
        if listed[0] != "left":
            body = [step(f"{self.chance.choice(['mark', 'clean', 'remove', 'renew'])} it"), *body]
            if self.chance.random() < 0.5:
                bad: list[Item] = [step("renew it")]
                body += [Line("check size on it"), Block([("when size rejected", bad)])]
        inner.insert(n, Block([(f"for each it in {', '.join(listed)}", body)]))

    def joined(self, _: list[Item], inner: list[Item], n: int) -> None:
        """Two neighbours with one verb made one step."""
        pair = inner[n : n + 2]
        texts = [i.text.split() for i in pair if isinstance(i, Line) and i.text.startswith("step")]
        if (
            len(texts) == 2
            and texts[0][:2] == texts[1][:2]
            and not {"with", "as", "at", "only"} & {*texts[0], *texts[1]}
        ):
            one, two = (i for i in pair if isinstance(i, Line))
            one.text += ", " + " ".join(texts[1][2:])
            one.under += two.under
            del inner[n + 1]

    def old(self, body: list[Item], _inner: list[Item], _n: int) -> None:
        """What was there put back where a new one belongs."""
        fresh = [i for b in bodies(body) for i in b if isinstance(i, Line) and " new" in i.text]
        if fresh:
            line = self.chance.choice(fresh)
            line.text = line.text.replace(" new", "", 1)

    def scoped(self, body: list[Item], inner: list[Item], n: int) -> None:
        """A step for some variants only."""
        item = inner[n]
        if self.machine.scopes and isinstance(item, Line) and item.text.startswith(("step", "check")):
            if " only " not in item.text:
                item.text += f" only for {self.chance.choice(self.machine.scopes)}"
        else:
            self.swap(body, inner, n)

    def results(self, body: list[Item]) -> list[str]:
        """The results that could be read."""
        found = []
        for b in bodies(body):
            for item in b:
                if isinstance(item, Line):
                    words = item.text.split()
                    if words[0] == "check":
                        found.append(words[1])
                    if " as " in item.text:
                        found.append(words[words.index("as") + 1])
        return found

    def wrap(self, body: list[Item], inner: list[Item], n: int) -> None:
        """A few statements put into a block."""
        stop = min(len(inner), n + self.chance.randint(1, 3))
        part = inner[n:stop]
        spare: list[Item] = [self.random_step()] if self.chance.random() < 0.5 else []
        results = self.results(body)
        result = self.chance.choice(results) if results else ""
        forms = ["ask", "any", "together", "either", "repeat", "lend"]
        forms += ["only"] * 2 if self.machine.scopes else []
        forms += ["when"] * 2 if result else []
        form = self.chance.choice(forms)
        if form == "ask":
            arms = [('ask "Is it wanted?"\nyes', part), ("no", spare)]
        elif form == "any":
            arms = [("any order", part + spare)]
        elif form == "together":
            lanes = [part, spare or part[1:]] if spare or len(part) < 2 else [part[:1], part[1:]]
            arms = [("together", lanes[0]), ("also", lanes[1])]
        elif form == "either":
            arms = [("either", part), ("or", spare)]
        elif form == "lend":
            arms = [("lend-back", part)]
        elif form == "only":
            arms = [(f"only for {self.chance.choice(self.machine.scopes)}", part)]
        elif form == "when":
            arms = [(f"when {result} {self.chance.choice(['accepted', 'rejected'])}", part)] + (
                [("otherwise", spare)] if spare else []
            )
        else:
            name = result or "spare-look"
            inside = (
                part
                if self.chance.random() < 0.4
                else [*part, Line(f"check {name} on {self.chance.choice(self.machine.names['part'])}")]
            )
            bound = f", at most {self.chance.randint(1, 3)} times" if self.chance.random() < 0.8 else ""
            arms = [(f"repeat until {name} accepted{bound}", inside)] + ([("otherwise", spare)] if spare else [])
        inner[n:stop] = [Block(arms)]
