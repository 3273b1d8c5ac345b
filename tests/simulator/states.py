"""What each state asks of an entity, as formulas over facts, and what it sets as an effect."""

from __future__ import annotations

from typing import Any

from procforge.model.equipment import State
from procforge.model.procedure import Step
from simulator.verbs import WORDS
from simulator.world import ENERGIES, MOTION, SPACE, STORED, VALVES, World, fact

Literal = tuple[str, bool]
#: Alternatives, each a conjunction: met when all literals of one of them hold.
Formula = tuple[tuple[Literal, ...], ...]


def both(literals: list[Literal]) -> list[Formula]:
    """All of the literals, each a formula of its own."""
    return [((literal,),) for literal in literals]


def put(world: World, item: str, there: bool) -> Literal:
    """An item in place (or out): a fastener on, a seal seated, anything else in."""
    kind = world.kind(item)
    if kind == "fastener":
        return fact("off", item), not there
    return fact("seated" if kind == "seal" else "in", item), there


def shut(world: World, valve: str) -> Literal:
    """A valve shut."""
    return fact("set", valve), world.is_set_when(valve, "shut")


def condition(world: World, state: State) -> list[Literal]:
    """The facts a state word of `starts`, `leaves` or a condition gives, with their values."""
    name, word = state.name, state.state
    kind = world.kind(name)
    if name in world.procedure.equipment.items and name not in world.items:
        return []  # what the variant lacks is in no state
    if kind in VALVES and word in ("open", "shut", "on", "off"):
        given = [(fact("set", name), world.is_set_when(name, word))]
    elif kind in VALVES and word == "locked":
        given = [(fact("locked", name), True), (fact("set", name), True)]
    elif kind in ENERGIES and word in ("isolated", "locked"):
        given = []
        for feed in world.feeds(name):
            given += scheme_literals(world, feed[0].blocks, feed[0].bleed, "set")
            if word == "locked":
                given += scheme_literals(world, feed[0].blocks, feed[0].bleed, "locked")
    elif kind == "guard" and word in ("on", "off"):
        given = [(fact("in", name), word == "on")]
    elif kind in ("seal", "fastener") and word in ("in", "out"):
        given = [put(world, name, word == "in")]
    else:
        about, value = WORDS[word]
        given = [(about if about in ("told", "stopped") else fact(about, name), value)]
    given = list(dict.fromkeys(given))
    return [(f, not v) for f, v in given] if state.negated else given


def scheme_literals(world: World, blocks: tuple[str, ...], bleed: str | None, word: str) -> list[Literal]:
    """A scheme in force: blocks and bleed set or locked, a spade in, a supply uncoupled."""
    found: list[Literal] = []
    for device in [*blocks, *([bleed] if bleed else [])]:
        kind = world.kind(device)
        if kind == "supply":
            found.append((fact("connected", device), False))
        else:
            found.append((fact(word, device) if kind in VALVES else fact("in", device), True))
    return found


def fed(world: World, energy: str, word: str) -> list[Formula]:
    """`isolated` (word `set`) or `locked-off` (word `locked`) of an energy."""
    found: list[Formula] = []
    for feed in world.feeds(energy):
        formula = tuple(tuple(scheme_literals(world, s.blocks, s.bleed, word)) for s in feed)
        found += [formula] if len(formula) > 1 else both(list(formula[0]))
    if world.kind(energy) == SPACE:
        for supply in world.supplies(energy):
            off = (fact("connected", supply), False)
            valve = world.here([world.items[supply].through])
            found.append(((off,), *(((fact("locked", v), True),) for v in valve)))
    return found


def made_safe(world: World, energy: str) -> list[Formula]:
    """Hands may come near: a motion or stored energy isolated, locked, proved, relieved, blocked."""
    found = fed(world, energy, "set") + fed(world, energy, "locked")
    item = world.items[energy]
    if item.kind == MOTION:
        proved = [energy, *world.here(item.turned_by)]
        found += both([(fact("proved", e), True) for e in proved])
        found += both([(fact("in", b), True) for b in world.here(item.blocked_by)])
    if item.kind == STORED:
        found += both([(fact("relieved", energy), True)])
        if item.proved_by:
            found += both([(fact("proved", energy), True)])
    return found


def tight(world: World, space: str) -> list[Formula]:
    """Each boundary part in with its seals seated, or a blind for it in."""
    found: list[Formula] = []
    for part in world.boundary(space):
        blinds = tuple(((fact("in", b), True),) for b in world.blinds(part))
        for literal in [(fact("in", part), True), *((fact("seated", s), True) for s in world.seals(part))]:
            found.append(((literal,), *blinds))
    return found


def torqued_up(world: World, space: str) -> list[Formula]:
    """The fasteners of each boundary part torqued, or a blind for it in."""
    return [
        (((fact("torqued", f), True),), *(((fact("in", b), True),) for b in world.blinds(part)))
        for part in world.boundary(space)
        for f in world.fasteners(part)
    ]


def protections(world: World, space: str, without: list[str]) -> list[tuple[Literal, ...]]:
    """One safety device in, its inlet valves not set, its gags not in; each device a way, but for some."""
    ways: list[tuple[Literal, ...]] = []
    for device in world.safety(space):
        if device in without:
            continue
        literals: list[Literal] = [(fact("in", device), True)]
        literals += [(fact("set", v), False) for v in world.here(world.items[device].inlet_isolated)]
        literals += [(fact("in", g), False) for g in world.those(("temporary",), "gags", device)]
        ways.append(tuple(literals))
    return ways


def protected(world: World, space: str) -> list[Formula]:
    """One of the devices protects the space."""
    ways = protections(world, space, [])
    return both(list(ways[0])) if len(ways) == 1 else [tuple(ways)] if ways else []


def asks(world: World, state: str, it: str, step: Step | None = None, doer: str = "") -> list[Formula]:
    """The formulas a state asks of an entity; `doer` is the object of the step."""
    item: Any = world.items.get(it)
    kind = world.kind(it)
    match state:
        case "told" | "stopped" | "area-clear":
            return both([(state, True)])
        case "stopped-first":
            return both([("stopped", True)])
        case "set" | "locked" | "proved" | "in" | "off" | "torqued" | "seated" | "connected":
            return both([(fact(state, it), True)])
        case "relieved":
            return both([(fact("relieved", it), True)])
        case "relieved-first":
            return both([(fact("relieved", it), True)]) if kind != MOTION else []
        case "supplied":
            return both([(fact("connected", it), True)])
        case "unlocked":
            return both([(fact("locked", it), False)])
        case "disconnected":
            return both([(fact("connected", it), False)])
        case "unseated":
            return both([(fact("seated", it), False)])
        case "on":
            return both([(fact("off", it), False)])
        case "loose":
            return both([(fact("eased", it), True)])
        case "isolated":
            return fed(world, it, "set")
        case "locked-off":
            return fed(world, it, "locked")
        case "made-safe":
            return made_safe(world, it)
        case "witnessed":
            return both([(fact("witnessed", it), True)]) if item.witnessed else []
        case "gas-free":
            harmful = {"flammable", "toxic"} & set(world.fluid(it)) and not item.ungassed
            return both([(fact("gas-free", it), True)]) if harmful else []
        case "air-free":
            return both([(fact("air-free", it), True)]) if "flammable" in world.fluid(it) else []
        case "tested":
            return [] if item.tested_in_service else both([(fact("tested", it), True)])
        case "closed":
            return tight(world, it)
        case "torqued-up":
            return torqued_up(world, it)
        case "vents-shut":
            return both([shut(world, v) for v in world.vents(it)]) if kind == SPACE else []
        case "vents-open":
            return [tuple(((f, not v),) for f, v in (shut(world, vent) for vent in world.vents(it)))]
        case "supplies-off":
            return both([(fact("connected", s), False) for s in world.supplies(it)])
        case "unpressured":
            return both([(fact("pressured", it), False)])
        case "pressured-for-test":
            if world.select("supply", it, step):
                return []
            if item.precharged:
                return [(((fact("pressured", it), True),), ((fact("relieved", it), False),))]
            if not item.tested_in_service:
                return both([(fact("pressured", it), True)])
            blocks = [
                b for feed in world.feeds(it) for scheme in feed for b in scheme.blocks if world.kind(b) in VALVES
            ]
            feeding = tuple(((fact("set", b), False),) for b in dict.fromkeys(blocks))
            return [(((fact("pressured", it), True),), *feeding)] if feeding else []
        case "protected":
            return protected(world, it)
        case "covered":
            others = protections(world, it, world.unprotecting(doer))
            return [(*formula, *others) for formula in fed(world, it, "set")]
        case "blocks-set" | "bleeds-shut":
            schemes = [s for e in world.of_kind(*ENERGIES) for feed in world.feeds(e) for s in feed if s.bleed]
            if state == "blocks-set":
                asked = [(fact("set", b), True) for s in schemes if s.bleed == it for b in s.blocks]
            else:
                asked = [(fact("set", b), False) for s in schemes if it in s.blocks for b in world.here([s.bleed])]
            return both([(f, v) for f, v in dict.fromkeys(asked) if world.kind(f.split(" ", 1)[1]) in VALVES])
        case "roots-shut":
            roots = world.here(world.items[g].root for g in world.tender_gauges(it))
            return both([shut(world, r) for r in roots])
        case "root-open":
            return both([(f, not v) for f, v in (shut(world, r) for r in world.here([item.root]))])
        case "guards-on":
            guards = [g for g in world.of_kind("guard") if it in world.select("guarded", g)]
            return both([(fact("in", g), True) for g in guards])
        case "fastened":
            return [(((fact("in", it), False),), ((fact("off", f), False),)) for f in world.fasteners(it)]
        case "out-again":
            stays = any(("stopped", False) in condition(world, s) for s in item.comes_out)
            return [] if stays else both([(fact("in", it), False)])
        case "all-in":
            return both([put(world, it, True)])
        case "out":
            return both([put(world, it, False)])
        case "bare":
            return both([put(world, o, False) for o in dict.fromkeys([*world.over(it), *world.sealed(it)])])
        case "told-apart":
            return [((put(world, o, True),), ((fact("marked", o), True),)) for o in world.lookalikes(it)]
        case "comes-out" | "goes-in":
            listed = item.comes_out if state == "comes-out" else item.goes_in
            return both([literal for s in listed for literal in condition(world, s)])
        case "unspent":
            return both([(fact("spent", it), False)]) if item.single_use else []
        case "looked":
            return both([(fact("looked", it), True)]) if world.closes(it) else []
        case "fit":
            return both([(fact(f"fit {it} /", c), True) for c in world.checks(it)])
    raise KeyError(state)


def gives(world: World, state: str, it: str, value: bool) -> list[Literal]:
    """The facts an effect sets on an entity."""
    kind = world.kind(it)
    if state == "vents-open":
        return [(f, not v) for f, v in (shut(world, vent) for vent in world.vents(it))]
    if state == "spent-if-single":
        return [(fact("spent", it), True)] if world.items[it].single_use else []
    if state == "all-in":
        if kind == "fastener":
            return [(fact("torqued", it), True), (fact("off", it), False)]
        return [put(world, it, True)]
    if state == "fit":
        checks = world.checks(it) if value else world.demanded(it)
        return [(fact(f"fit {it} /", c), value) for c in checks]
    if state == "relieved" and kind == MOTION:
        return []
    if state == "looked" and not world.closes(it):
        return []
    if state in ("gas-free", "air-free", "tested") and kind != SPACE:
        return []
    return [(fact(state, it), value)]


def at_start(world: World) -> dict[str, bool]:
    """The facts that are true at the start, `starts` included; all others are false."""
    true: dict[str, bool] = {}
    for name, item in world.items.items():
        kind = item.kind
        if kind in VALVES and item.isolates and item.isolates == item.in_service:
            true[fact("set", name)] = True
        words = {
            SPACE: ("air-free", "tested"),
            "part": ("in", "looked"),
            "safety-device": ("in", "looked"),
            "guard": ("in", "looked"),
            "fastener": ("torqued",),
            "seal": ("seated",),
        }.get(kind, ())
        true |= {fact(w, name): True for w in words}
        if kind in ("part", "safety-device", "fastener", "seal"):
            true |= {fact(f"fit {name} /", c): True for c in world.checks(name)}
    for state in world.procedure.starts:
        if state.name in world.procedure.equipment.items and state.name not in world.items:
            continue
        true |= dict(condition(world, state))
    return true


def initially(start: dict[str, bool], about: str) -> bool:
    """A fact's value at the start; an item is fit by every check until one says otherwise."""
    return start.get(about, about.startswith("fit "))
