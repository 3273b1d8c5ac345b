"""A sound job on a generated machine, by construction: shut down, isolate, prove, open, build up, return."""

from __future__ import annotations

from random import Random

from simulator.machines import Layer, Machine, Room
from simulator.text import Block, Item, Line, step


class Job:
    """Builds the body and head lines of one procedure; `blocks` are named blocks at its end."""

    def __init__(self, machine: Machine, chance: Random) -> None:
        self.machine = machine
        self.chance = chance
        self.head: list[str] = []
        self.blocks: list[Item] = []
        self.count = 0

    def maybe(self, share: float) -> bool:
        """True in that share of the calls."""
        return self.chance.random() < share

    def name(self, stem: str) -> str:
        """A fresh name."""
        self.count += 1
        return f"{stem}-{self.count}"

    def build(self) -> list[Item]:
        """The body of the job."""
        rooms = [r for r in self.machine.rooms if self.maybe(0.75)] or self.machine.rooms[:1]
        body: list[Item] = [step("notify control-room")]
        if self.machine.motion:
            body.append(step("shut-down RIG"))
        for room in rooms:
            body += self.isolate(room)
        moving = self.machine.motion
        if moving:
            body += [step("isolate breaker"), step("lock breaker")]
            if self.machine.pin:
                body.append(step("fit pin"))
            body += self.tried()
        slack = [step("relieve spring")] if self.machine.spring else []
        slack += [step("prove spring")] if self.machine.spring_proved else []
        held = any(r.upholds for r in rooms)
        body += slack if held else []
        for room in rooms:
            body += self.relieve(room)
        body += [] if held else slack
        guard_off = self.machine.guard and self.maybe(0.5)
        screws = "guard-screws" in self.machine.names.get("fastener", [])
        if guard_off:
            body += [step("remove guard-screws"), step("remove guard")] if screws else [step("remove guard")]
        for room in rooms:
            body += self.work(room)
        if guard_off:
            body += [step("fit guard"), *([step("tighten guard-screws")] if screws else [])]
        if self.machine.spring:
            body.append(step("tension spring"))
        for room in rooms:
            body += self.test(room)
        body += self.back(rooms)
        return body

    # ---- making safe -------------------------------------------------------------------------
    def isolate(self, room: Room) -> list[Item]:
        """Blocks shut, bleeds open, all locked; a spade fitted."""
        steps: list[Item] = []
        body: list[Item] = []
        for device in room.sets:
            steps.append(step(f"{self.chance.choice(['isolate', 'shut'])} {device}"))
        steps += [step(f"open {b}") for b in room.opens] + [step(f"fit {s}") for s in room.spades]
        if len(steps) > 1 and self.maybe(0.3):
            body.append(Block([("any order", steps)]))
        else:
            body += steps
        locks = room.sets + room.opens
        if locks:
            body.append(
                step("lock " + ", ".join(locks))
                if self.maybe(0.6)
                else Block([("any order", [step(f"lock {d}") for d in locks])])
            )
        return body

    def tried(self) -> list[Item]:
        """The motion tried; now and then with its result read."""
        if self.maybe(0.15):
            name = self.name("trial")
            return [step(f"try-start motor as {name}"), Block([(f"when {name} rejected", [Line("stop here")])])]
        return [step("try-start motor")]

    def relieve(self, room: Room) -> list[Item]:
        """Vented, purged, vent shut, proved, witnessed."""
        body: list[Item] = []
        if room.supply and self.maybe(0.1):
            body.append(Line('note "The supply stays off."'))
        body.append(step(f"{self.chance.choice(['vent', 'drain'])} {room.name}"))
        if room.harmful:
            body.append(step(f"purge {room.name}"))
        if self.maybe(0.1):
            body.append(Line("may stop here"))
        vents = [room.vent] + ([f"{room.name}-drain"] if f"{room.name}-drain" in self.machine.names["valve"] else [])
        body += [step(f"shut {v}") for v in vents]
        if room.tender and room.root:
            body.append(step(f"open {room.root}"))
        at = f" at {room.gauge}" if room.gauge and self.maybe(0.7) else ""
        way = self.chance.random()
        if way < 0.6:
            body.append(step(f"prove {room.name}{at}"))
        elif way < 0.75:
            name = self.name("proof")
            body += [step(f"prove {room.name}{at} as {name}"), Block([(f"when {name} rejected", [Line("stop here")])])]
        elif way < 0.9:
            name = self.name("proof")
            again: list[Item] = [step(f"prove {room.name}{at} as {name}")]
            body.append(
                Block(
                    [
                        (f"repeat until {name} accepted, at most {self.chance.choice([2, 3])} times", again),
                        ("otherwise", [Line("stop here")]),
                    ]
                )
            )
        else:
            one: list[Item] = [step(f"prove {room.name}{at}")]
            two: list[Item] = [step(f"prove {room.name}"), Line('note "By the second gauge."')]
            body.append(Block([('ask "Is the gauge in date?"\nyes', one), ("no", two)]))
        if room.witnessed or self.maybe(0.2):
            before = room.stacks[0][0].fasteners
            name = self.name("H")
            self.head.append(f"# {name}")
            guarded = [f"before {self.chance.choice(['remove', 'ease'])} {before[0][0]}"] if before else []
            body.append(
                Line(
                    f'{self.chance.choice(["hold", "witness"])} {name} "Zero pressure" by supervisor',
                    [f"sees {room.name}", *guarded],
                )
            )
        return body

    # ---- the work ----------------------------------------------------------------------------
    def work(self, room: Room) -> list[Item]:
        """Each stack taken out and built up again."""
        stacks = room.stacks if self.maybe(0.5) else room.stacks[:1]
        jobs = []
        for stack in stacks:
            depth = self.chance.randint(1, len(stack))
            jobs.append(self.open_up(stack[:depth]) + self.build_up(room, stack[:depth]))
        if len(jobs) == 2 and not room.refills and self.maybe(0.4) and sum(map(len, jobs)) < 16:
            return [Block([("together", jobs[0]), ("also", jobs[1])])]
        return [item for job in jobs for item in job]

    def open_up(self, stack: list[Layer]) -> list[Item]:
        """Layers from the outside in."""
        body: list[Item] = []
        for layer in stack:
            inner: list[Item] = []
            for name, _ in layer.fasteners:
                if self.maybe(0.4):
                    inner.append(step(f"ease {name}"))
                    if self.maybe(0.25):
                        tight: list[Item] = [step(f"nip-up {name}"), Line("stop here")]
                        inner.append(Block([('ask "Does anything come out?"\nyes', tight), ("no", [])]))
                inner.append(step(f"remove {name}"))
            if layer.twin:
                inner.append(step(f"mark {layer.part}"))
            inner.append(step(f"remove {layer.part}"))
            body += self.scoped(layer, inner)
        return body

    def build_up(self, room: Room, stack: list[Layer]) -> list[Item]:
        """Layers from the inside out."""
        body: list[Item] = []
        for layer in reversed(stack):
            body += self.scoped(layer, self.refit(room, layer, layer is stack[0]))
        return body

    def scoped(self, layer: Layer, inner: list[Item]) -> list[Item]:
        """For the variants that have the part only."""
        if not layer.only:
            return inner
        return [Block([(f"only for {layer.only}", inner)])]

    def refit(self, room: Room, layer: Layer, outermost: bool) -> list[Item]:
        """One layer judged, sealed, fitted and tightened."""
        body: list[Item] = []
        new = layer.single or self.maybe(0.1)
        if layer.inner and self.maybe(0.4):
            insert = layer.inner[0]
            body.append(
                Block(
                    [("on the bench", [step(f"remove {insert}"), step(f"rebuild {layer.part}"), step(f"fit {insert}")])]
                )
            )
            if not layer.judged and not new:
                pass
        if layer.judged and not new:
            body += self.judge(layer.judged, layer.part, [step(f"renew {layer.part}")], True)
        for name, single in layer.seals:
            if single or self.maybe(0.3):
                body.append(step(f"fit {name} new"))
            else:
                body += self.judge("ring-look", name, [step(f"renew {name}")], False, [step(f"fit {name}")])
        if outermost or self.maybe(0.6):
            body.append(step(f"look-into {room.name}"))
        body.append(step(f"fit {layer.part}{' new' if new else ''}"))
        for name, single in layer.fasteners:
            fresh = " new" if single else ""
            if self.maybe(0.4):
                body += [step(f"fit {name}{fresh}"), step(f"tighten {name}")]
            else:
                body.append(step(f"tighten {name}{fresh}"))
            if self.maybe(0.1):
                body.append(step(f"retighten {name}"))
        return body

    def judge(self, check: str, item: str, bad: list[Item], rounds: bool, good: list[Item] | None = None) -> list[Item]:
        """A check with its way on: a branch, a repeat, or a branch read again later."""
        done = Line(f"check {check} on {item}")
        good = good or []
        if rounds and self.maybe(0.35):
            body: list[Item] = [step(f"{self.chance.choice(['rebuild', 'clean'])} {item}"), done]
            bound = f", at most {self.chance.choice([1, 2, 3])} times" if self.maybe(0.85) else ""
            arms = [(f"repeat until {check} accepted{bound}", body)]
            return [Block([*arms, ("otherwise", bad)] if bound else arms)]
        if self.maybe(0.25):
            return [done, Block([(f"when {check} rejected", bad)]), Block([(f"when {check} accepted", good)])] if good else [
                done, Block([(f"when {check} accepted", []), ("otherwise", bad)])
            ]  # fmt: skip
        return [done, Block([(f"when {check} rejected", bad), ("otherwise", good)])]

    # ---- testing and returning ---------------------------------------------------------------
    def test(self, room: Room) -> list[Item]:
        """Leak-tested through the supply, or nothing where it is tested in service."""
        tender = [step(f"shut {room.root}")] if room.tender and room.root else []
        if room.charged:
            filled = [step(f"connect {room.supply}"), step(f"charge {room.name} with {room.supply}")]
            return [*tender, *filled, step(f"leak-test {room.name}"), step(f"disconnect {room.supply}")]
        if room.in_service and not (room.supply and self.maybe(0.4)):
            return []
        test: list[Item] = [
            step(f"connect {room.supply}"), step(f"pressurise {room.name} with {room.supply}"),
            step(f"leak-test {room.name}{self.chance.choice(['', f' with {room.supply}'])}"),
            step(f"let-down {room.name} with {room.supply}"), step(f"disconnect {room.supply}"),
        ]  # fmt: skip
        if self.maybe(0.2):
            name = self.name("tight")
            trial: list[Item] = [
                step(f"pressurise {room.name} with {room.supply}"), step(f"leak-test {room.name} as {name}"),
                step(f"let-down {room.name} with {room.supply}"),
            ]  # fmt: skip
            bad: list[Item] = [step(f"disconnect {room.supply}"), Line("stop here")]
            test = [
                test[0],
                Block([(f"repeat until {name} accepted, at most 2 times", trial), ("otherwise", bad)]),
                test[4],
            ]
        return tender + test

    def back(self, rooms: list[Room]) -> list[Item]:
        """Area clear, unlocked, air out, returned, started."""
        body: list[Item] = []
        moving = self.machine.motion
        devices = list(dict.fromkeys(d for r in rooms for d in r.sets + r.opens))
        if self.machine.pin:
            body.append(step("remove pin"))
        body.append(step("clear area"))
        if self.maybe(0.08) and devices:
            lent: list[Item] = [step(f"unlock {devices[0]}"), step(f"lock {devices[0]}")]
            body.append(Block([("lend-back", lent)]))
        unlock = devices + (["breaker"] if moving else [])
        if unlock:
            body.append(
                step("unlock " + ", ".join(unlock))
                if self.maybe(0.7)
                else Block([("any order", [step(f"unlock {d}") for d in unlock])])
            )
        for room in rooms:
            if room.flammable:
                body += [step(f"open {room.vent}"), step(f"purge {room.name}"), step(f"shut {room.vent}")]
            if room.tender and room.root:
                body.append(step(f"shut {room.root}"))
            body += [step(f"remove {s}") for s in room.spades]
        bleeds = list(dict.fromkeys(b for r in rooms for b in r.opens))
        back = bleeds + [d for d in devices if d not in bleeds] + (["breaker"] if moving else [])
        if back:
            body.append(step("return " + ", ".join(back)))
        body.append(step("notify control-room"))
        if moving:
            body.append(step("start RIG"))
        body += [step(f"leak-test {r.name}") for r in rooms if r.in_service]
        return body
