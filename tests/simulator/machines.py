"""Random small machines, as text and as what the job builder needs to know of them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from random import Random


@dataclass(slots=True)
class Layer:
    """A part to take out, with what holds and seals it, its checks and its look-alike."""

    part: str
    fasteners: list[tuple[str, bool]] = field(default_factory=list)
    seals: list[tuple[str, bool]] = field(default_factory=list)
    judged: str = ""
    single: bool = False
    twin: bool = False
    inner: list[str] = field(default_factory=list)
    only: str = ""


@dataclass(slots=True)
class Room:
    """A pressure space with its devices: `sets` are isolated and locked, `spades` fitted instead."""

    name: str
    sets: list[str] = field(default_factory=list)
    opens: list[str] = field(default_factory=list)
    spades: list[str] = field(default_factory=list)
    vent: str = ""
    gauge: str = ""
    root: str = ""
    tender: bool = False
    harmful: bool = False
    flammable: bool = False
    witnessed: bool = False
    refills: bool = False
    in_service: bool = False
    charged: bool = False
    upholds: bool = False
    supply: str = ""
    relief: str = ""
    stacks: list[list[Layer]] = field(default_factory=list)


@dataclass(slots=True)
class Machine:
    """All of a machine; `lines` is its text."""

    lines: list[str]
    models: list[str]
    services: list[str]
    rooms: list[Room]
    motion: bool = False
    guard: bool = False
    pin: bool = False
    spring: bool = False
    spring_proved: bool = False
    names: dict[str, list[str]] = field(default_factory=dict)

    @property
    def scopes(self) -> list[str]:
        """Names that may stand after `only for`."""
        return self.models + self.services


class Maker:
    """Builds one machine from a seeded source of chance."""

    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.lines: list[str] = []
        self.names: dict[str, list[str]] = {}

    def maybe(self, share: float) -> bool:
        """True in that share of the calls."""
        return self.chance.random() < share

    def define(self, kind: str, name: str, *props: str) -> str:
        """Write an item."""
        self.lines.append(f'{kind} {name} "{name.replace("-", " ").capitalize()}"')
        self.lines += ["  " + p for p in props if p]
        self.names.setdefault(kind, []).append(name)
        return name

    def make(self) -> Machine:
        """A machine with its text."""
        pick = self.chance.choice
        models = pick([[], [], ["small", "large"], ["small", "large"]])
        services = pick([[], [], [], ["wet", "dry"]]) if not models else []
        self.lines = ['equipment RIG "Test rig"']
        if models:
            self.lines.append("models " + ", ".join(models))
        if services:
            self.lines.append("services " + ", ".join(services))
        self.lines.append("places left, right")
        machine = Machine([], models, services, [])
        machine.motion, machine.spring = self.maybe(0.45), self.maybe(0.3)
        for n in range(pick([1, 1, 2])):
            machine.rooms.append(self.room(n, machine))
        if machine.motion:
            self.motion(machine)
        if machine.spring:
            machine.spring_proved = self.maybe(0.5)
            self.define("tool", "winder")
            self.define(
                "stored-energy", "spring", "relieved by winder", "proved by eye" if machine.spring_proved else "",
                "blocked by latch" if self.maybe(0.3) else "", "reaccumulates" if self.maybe(0.1) else "",
            )  # fmt: skip
            self.define("temporary", "latch")
        machine.lines, machine.names = self.lines, self.names
        return machine

    def motion(self, machine: Machine) -> None:
        """A shaft with its breaker, guard and blocking pin."""
        machine.guard, machine.pin = self.maybe(0.6), self.maybe(0.3)
        self.define("isolator", "breaker", "in service on, isolates when off")
        self.names.setdefault("motion", []).append("shaft")
        self.lines += ['motion shaft "Shaft"', "  driven by motor, isolated by breaker, proved by try-start"]
        self.names["driver"] = ["motor"]
        if self.maybe(0.4):
            self.lines.append(f"  also turned by {self.chance.choice(machine.rooms).name}")
        if machine.pin:
            self.lines.append("  blocked by pin")
            self.define("temporary", "pin")
        if machine.guard:
            held = self.maybe(0.3)
            self.define("guard", "guard", "guards shaft", "held by guard-screws" if held else "")
            if held:
                self.define("fastener", "guard-screws")

    def room(self, n: int, machine: Machine) -> Room:
        """A space with its isolation, vent, gauge and the stacks of parts that close it."""
        pick, maybe = self.chance.choice, self.maybe
        room = Room(name=("chamber", "vessel")[n])
        feeds = []
        for k in range(pick([1, 1, 2])):
            feeds.append(self.feed(room, f"{room.name}-{'ab'[k]}"))
        if n == 1 and maybe(0.3) and machine.rooms[0].sets:
            feeds.append(machine.rooms[0].sets[0])
            room.sets.append(machine.rooms[0].sets[0])
        room.vent = self.define("valve", f"{room.name}-vent", "in service shut")
        room.flammable = maybe(0.4)
        fluid = "gas, flammable" if room.flammable else pick(["water", "gas, toxic", "air"])
        ungassed = maybe(0.15)
        room.harmful = ("flammable" in fluid or "toxic" in fluid) and not ungassed
        room.witnessed, room.refills, room.in_service = maybe(0.3), maybe(0.25), maybe(0.5)
        second = maybe(0.1) and machine.models
        vent_two = self.define("valve", f"{room.name}-drain", "in service shut") if second else ""
        props = [
            f"holds {fluid}", f"isolated by {', '.join(feeds)}", f"vented by {room.vent}",
            f"vented by {vent_two} for large" if vent_two else "",
            'opening without purge "The site says so."' if ungassed else "", "opening witnessed" if room.witnessed else "",
            "reaccumulates" if room.refills else "", "tested in service" if room.in_service else "",
            "proof good for 4 h" if maybe(0.1) else "",
        ]  # fmt: skip
        if maybe(0.6):
            room.gauge, room.tender = f"{room.name}-gauge", maybe(0.3)
            if maybe(0.7) or room.tender:
                room.root = self.define("valve", f"{room.name}-root", f"in service {'shut' if room.tender else 'open'}")
            behind = f"behind {room.root}{', not above 1 bar(g)' if room.tender else ''}" if room.root else ""
            self.define("gauge", room.gauge, "0 bar(g) to 1 bar(g), class 1.0", behind)
            props.append(f"proved at {room.gauge}")
        room.charged, room.upholds = maybe(0.12), machine.spring and maybe(0.2)
        props += ["pre-charged" if room.charged else "", "holds back spring" if room.upholds else ""]
        self.define("pressure-space", room.name, *props)
        if not room.in_service or room.charged or maybe(0.3):
            room.supply = f"{room.name}-supply"
            both = f"feeds {room.name}" + (f", {machine.rooms[0].name}" if n and maybe(0.3) else "")
            through = (
                self.define("isolator", f"{room.supply}-valve", "in service shut, isolates when shut")
                if maybe(0.4)
                else ""
            )
            self.define("supply", room.supply, both, f"through {through}" if through else "")
        if maybe(0.2):
            room.relief = f"{room.name}-relief"
            self.define("isolator", f"{room.relief}-inlet", "in service open, isolates when shut")
            self.define("safety-device", room.relief, f"protects {room.name}", f"inlet isolated by {room.relief}-inlet")
            self.define("temporary", f"{room.relief}-gag", f"gags {room.relief}")
        placed = n == 0 and maybe(0.25)
        stack = self.stack(room, machine, "left" if placed else "")
        room.stacks = [stack, [mirror(layer) for layer in stack]] if placed else [stack]
        return room

    def feed(self, room: Room, name: str) -> str:
        """One feed: a block, two with a bleed, a spade; the first scheme is the one the job uses."""
        form = self.chance.choice(["single", "single", "double", "spade", "or-spade", "check"])
        if form == "spade":
            room.spades.append(self.define("temporary", f"{name}-spade"))
            return f"{name}-spade"
        self.define("isolator", name, "in service open, isolates when shut")
        room.sets.append(name)
        if form == "double":
            self.define("isolator", f"{name}-two", "in service open, isolates when shut")
            self.define("valve", f"{name}-bleed", "in service shut")
            room.sets.append(f"{name}-two")
            room.opens.append(f"{name}-bleed")
            return f"({name} and {name}-two with bleed {name}-bleed)" + self.other(name)
        if form == "check":
            self.define("check-valve", f"{name}-check")
            return f"{name} or {name}-check"
        return name + (self.other(name) if form == "or-spade" else "")

    def other(self, name: str) -> str:
        """A spade as the second scheme, now and then."""
        if self.maybe(0.5):
            return f" or {self.define('temporary', f'{name}-spade')}"
        return ""

    def stack(self, room: Room, machine: Machine, place: str) -> list[Layer]:
        """Parts from the outside in."""
        chance, maybe = self.chance, self.maybe
        layers: list[Layer] = []
        count = chance.choice([1, 2, 2, 3])
        suffix = f" of {place}" if place else ""
        spring_at, near_at = chance.randrange(3), chance.randrange(3)
        for k in range(count):
            base = f"{room.name}-{('cover', 'plate', 'disc')[k]}"
            layer = Layer(base + suffix)
            props = ["at each of left, right" if place else "", f"closes {room.name}" if k == 0 or maybe(0.15) else ""]
            if k == 0 or maybe(0.4):
                single = maybe(0.15)
                nuts = self.define("fastener", f"{base}-nuts", "single-use" if single else "")
                props.append(f"held by {nuts}")
                layer.fasteners.append((nuts + suffix, single))
            if maybe(0.6):
                single = maybe(0.5)
                ring = self.define(
                    "seal",
                    f"{base}-ring",
                    "single-use" if single else "",
                    "judged by ring-look" if not single and maybe(0.5) else "",
                )
                props.append(f"sealed by {ring}")
                layer.seals.append((ring + suffix, single))
            if k:
                props.append(f"under {layers[-1].part.split()[0]}")
            if maybe(0.35):
                layer.judged = f"{base}-look"
                props.append(f"judged by {layer.judged}")
            if k == 2 and machine.models and not place and maybe(0.5):
                layer.only = "large"
                props.append("only for large")
            if maybe(0.1):
                layer.single = True
                props.append("single-use")
            if maybe(0.2) and not place:
                layer.inner = [f"{base}-insert"]
                props.append(f"made of {base}-insert")
            if machine.motion and near_at == k and maybe(0.6):
                props.append("near shaft")
            if machine.spring and spring_at == k and maybe(0.8):
                props.append("holds back spring")
            if k and layers[0].fasteners and maybe(0.2):
                props.append(f"comes out only when {layers[0].fasteners[0][0].split()[0]} off")
            if k and maybe(0.15) and not place:
                above = next(n for n, line in enumerate(self.lines) if line.startswith(f"part {layers[-1].part} "))
                self.lines.insert(above + 1, f"  goes in only when {base} in")
            if k == 1 and maybe(0.3):
                layer.twin = True
                other = f"{room.name}-twin"
                self.define("part", other, "at left" if place else "")
                props.append(f"looks like {other}")
            self.define("part", base, *props)
            layers.append(layer)
        if maybe(0.15):
            self.define("temporary", f"{room.name}-blind", f"stands in for {layers[0].part.split()[0]}")
        return layers


def mirror(layer: Layer) -> Layer:
    """The same layer at the other place."""

    def at(name: str) -> str:
        return name.replace(" of left", " of right")

    fasteners, seals = [(at(n), s) for n, s in layer.fasteners], [(at(n), s) for n, s in layer.seals]
    return replace(layer, part=at(layer.part), fasteners=fasteners, seals=seals)
