"""What a state means as facts: for needs a list of formulas, for effects a list of facts.

A fact is a string `state name`. A formula is a tuple of alternatives, an alternative a tuple of literals
(fact, value); it holds if one alternative holds whole. Most have one alternative with one literal.
"""

from __future__ import annotations

from collections.abc import Callable

from procforge.analysis.machine import Machine
from procforge.analysis.select import WHOLE, Act, loses_protection
from procforge.model.equipment import Scheme, State, Valve

Literal = tuple[str, bool]
Formula = tuple[tuple[Literal, ...], ...]


def fact(state: str, name: str = WHOLE) -> str:
    """The fact that an item is in a state."""
    return f"{state} {name}" if name else state


def one(fact_: str, value: bool = True) -> Formula:
    """A formula of a single literal."""
    return (((fact_, value),),)


def _plain(state: str, value: bool = True) -> Callable[[Machine, str, Act], list[Formula]]:
    return lambda machine, name, act: [one(fact(state, name), value)]


# ---- valves and isolation ----------------------------------------------------------------------
def open_literal(machine: Machine, valve: str) -> Literal:
    """The literal that a valve is open (or on)."""
    return fact("set", valve), machine.away(valve) in ("open", "on")


def scheme_literals(machine: Machine, scheme: Scheme, state: str) -> tuple[Literal, ...]:
    """The literals that a scheme is `set` or `locked`; a spade is in, a supply uncoupled; () for a check valve."""
    found: list[Literal] = []
    for device in (*scheme.blocks, *((scheme.bleed,) if scheme.bleed else ())):
        kind = machine.kind(device)
        if kind == "check-valve":
            return ()
        if kind == "temporary":
            found.append((fact("in", device), True))
        elif kind == "supply":
            found.append((fact("connected", device), False))
        else:
            found.append((fact(state, device), True))
    return tuple(found)


def _schemes(state: str) -> Callable[[Machine, str, Act], list[Formula]]:
    def made(machine: Machine, energy: str, _act: Act) -> list[Formula]:
        found: list[Formula] = []
        for feed in machine.feeds.get(energy, ()):
            ways = tuple(w for w in (scheme_literals(machine, s, state) for s in feed) if w)
            found += [ways] if len(ways) > 1 else [one(*literal) for way in ways for literal in way]
        for name, supply in machine.supplies.items():
            if energy in supply.feeds:
                off: Literal = (fact("connected", name), False)
                valve = supply.through
                found.append(((off,), ((fact("locked", valve), True),)) if valve in machine.items else (((off,)),))
        return found

    return made


_isolated, _locked_off = _schemes("set"), _schemes("locked")


def _bled(between: bool) -> Callable[[Machine, str, Act], list[Formula]]:
    """Of a bleed: the blocks on both its sides set. Of a block: the bleeds it shuts off not set."""

    def made(machine: Machine, valve: str, _act: Act) -> list[Formula]:
        found: list[Formula] = []
        for scheme in (s for feeds in machine.feeds.values() for feed in feeds for s in feed if s.bleed):
            if between and scheme.bleed == valve:
                found += [one(fact("set", b)) for b in scheme.blocks if machine.kind(b) in ("isolator", "valve")]
            elif not between and valve in scheme.blocks and scheme.bleed in machine.items:
                found.append(one(fact("set", scheme.bleed), False))
        return list(dict.fromkeys(found))

    return made


def _made_safe(machine: Machine, energy: str, act: Act) -> list[Formula]:
    item = machine.energies[energy]
    found = _isolated(machine, energy, act) + _locked_off(machine, energy, act)
    if item.kind == "stored-energy":
        found.append(one(fact("relieved", energy)))
        return found + ([one(fact("proved", energy))] if item.proved_by else [])
    found.append(one(fact("proved", energy)))
    found += [one(fact("proved", s)) for s in item.turned_by if s in machine.items]
    return found + [one(fact("in", t)) for t in item.blocked_by if t in machine.items]


# ---- pressure spaces ---------------------------------------------------------------------------
def _boundary(machine: Machine, space: str, literals: Callable[[str], list[Literal]]) -> list[Formula]:
    found: list[Formula] = []
    for part in machine.boundary.get(space, ()):
        blinds = tuple(((fact("in", b), True),) for b in machine.blinds.get(part, ()))
        found += [(((literal),), *blinds) for literal in literals(part)]
    return found


def _closed(machine: Machine, space: str, _act: Act) -> list[Formula]:
    def literals(part: str) -> list[Literal]:
        return [
            (fact("in", part), True),
            *((fact("seated", s), True) for s in machine.solids[part].sealed_by if s in machine.items),
        ]

    return _boundary(machine, space, literals)


def _torqued_up(machine: Machine, space: str, _act: Act) -> list[Formula]:
    return _boundary(
        machine, space, lambda p: [(fact("torqued", f), True) for f in machine.solids[p].held_by if f in machine.items]
    )


def _vents(want_open: bool) -> Callable[[Machine, str, Act], list[Formula]]:
    def made(machine: Machine, space: str, _act: Act) -> list[Formula]:
        opens = [open_literal(machine, v.valve) for v in machine.vents(space)]
        if want_open:
            return [tuple((o,) for o in opens)]  # a space without a vent is never open to one
        return [one(f, not value) for f, value in opens]

    return made


def _protecting(machine: Machine, space: str, but: tuple[str, ...] = ()) -> list[tuple[Literal, ...]]:
    """The ways a space can be protected: one safety device in, its inlet open, no gag in; `but` are left aside."""
    ways = []
    for device in machine.protecting.get(space, ()):
        if device in but:
            continue
        way: list[Literal] = [(fact("in", device), True)]
        way += [(fact("set", v), False) for v in machine.solids[device].inlet_isolated if v in machine.items]
        way += [(fact("in", g), False) for g in machine.gags.get(device, ())]
        ways.append(tuple(way))
    return ways


def _protected(machine: Machine, space: str, _act: Act) -> list[Formula]:
    ways = _protecting(machine, space)
    if len(ways) == 1:
        return [one(*literal) for literal in ways[0]]
    return [tuple(ways)] if ways else []


def _covered(machine: Machine, space: str, act: Act) -> list[Formula]:
    """The space isolated, or protected by a safety device other than those this object puts out of service."""
    others = tuple(_protecting(machine, space, loses_protection(machine, act.name)))
    return [(*formula, *others) for formula in _isolated(machine, space, act)]


def _roots_shut(machine: Machine, space: str, _act: Act) -> list[Formula]:
    found = []
    for name in machine.gauges(space):
        gauge = machine.gauge(name)
        if gauge and gauge.root in machine.items and gauge.not_above is not None:
            literal, value = open_literal(machine, gauge.root)
            found.append(one(literal, not value))
    return found


def _root_open(machine: Machine, name: str, _act: Act) -> list[Formula]:
    gauge = machine.gauge(name)
    return [one(*open_literal(machine, gauge.root))] if gauge and gauge.root in machine.items else []


def _pressured_for_test(machine: Machine, space: str, act: Act) -> list[Formula]:
    """Test pressure on, or its charge; a space that is tested in service may have a feed open instead."""
    if act.supplies:
        return []
    if machine.energies[space].precharged:
        return [(((fact("pressured", space), True),), ((fact("relieved", space), False),))]
    if not machine.energies[space].tested_in_service:
        return [one(fact("pressured", space))]
    blocks = [b for feed in machine.feeds[space] for s in feed for b in s.blocks]
    feeds = [(fact("set", b), False) for b in dict.fromkeys(blocks) if machine.kind(b) in ("isolator", "valve")]
    return [(((fact("pressured", space), True),), *((f,) for f in feeds))] if feeds else []


# ---- parts -------------------------------------------------------------------------------------
def _present(machine: Machine, name: str, _act: Act) -> list[Formula]:
    kind = machine.kind(name)
    if kind == "fastener":
        return [one(fact("off", name), False)]
    return [one(fact("seated" if kind == "seal" else "in", name))]


def _absent(machine: Machine, name: str, act: Act) -> list[Formula]:
    literal, value = _present(machine, name, act)[0][0][0]
    return [one(literal, not value)]


def _fastened(machine: Machine, name: str, _act: Act) -> list[Formula]:
    """A part that is in has its fasteners on."""
    held = [f for f in getattr(machine.items[name], "held_by", ()) if f in machine.items]
    return [(((fact("in", name), False),), ((fact("off", f), False),)) for f in held]


def _bare(machine: Machine, name: str, act: Act) -> list[Formula]:
    """Nothing that lies over it is in place; over a seal lies the part it seals."""
    found = []
    for upper in dict.fromkeys((*machine.covering.get(name, ()), *machine.sealed.get(name, ()))):
        literal, value = _present(machine, upper, act)[0][0][0]
        found.append(one(literal, not value))
    return found


def _told_apart(machine: Machine, name: str, _act: Act) -> list[Formula]:
    """No look-alike of it is out unmarked."""
    state = "seated" if machine.kind(name) == "seal" else "in"
    return [(((fact(state, t), True),), ((fact("marked", t), True),)) for t in machine.twins.get(name, ())]


def _spendable(machine: Machine, name: str) -> bool:
    return bool(getattr(machine.items[name], "single_use", False))


def _looked(machine: Machine, name: str, _act: Act) -> list[Formula]:
    return [one(fact("looked", name))] if machine.closes(name) and machine.kind(name) != "temporary" else []


#: Words a condition may use, and the fact behind each (value for the word itself).
WORDS: dict[str, tuple[str, bool]] = {
    "isolated": ("set", True), "set": ("set", True), "in-service": ("set", False), "locked": ("locked", True),
    "unlocked": ("locked", False), "relieved": ("relieved", True), "slack": ("relieved", True), "proved": ("proved", True),
    "witnessed": ("witnessed", True), "gas-free": ("gas-free", True), "air-free": ("air-free", True),
    "tested": ("tested", True), "untested": ("tested", False), "pressurised": ("pressured", True),
    "in": ("in", True), "out": ("in", False), "fitted": ("in", True), "on": ("in", True), "removed": ("in", False),
    "torqued": ("torqued", True), "tight": ("torqued", True), "eased": ("torqued", False), "loose": ("torqued", False),
    "off": ("off", True), "seated": ("seated", True), "spent": ("spent", True), "marked": ("marked", True),
    "connected": ("connected", True), "disconnected": ("connected", False), "told": ("told", True),
    "stopped": ("stopped", True), "running": ("stopped", False), "looked-into": ("looked", True),
}  # fmt: skip


def word_literals(machine: Machine, state: State) -> tuple[Literal, ...]:
    """What `starts`, `leaves`, `comes out` and `goes in` conditions mean; () for a word that fits no such item."""
    name, word = state.name, state.state
    item = machine.items.get(name)
    made: tuple[Literal, ...] = ()
    if isinstance(item, Valve) and word in ("open", "shut", "on", "off"):
        made = ((fact("set", name), machine.away(name) == word),)
    elif word in ("stopped", "running", "told") or item is None:
        known = WORDS.get(word)
        made = ((known[0], known[1]),) if known and known[0] in ("stopped", "told") else ()
    elif item.kind == "guard" and word in ("on", "off"):
        made = ((fact("in", name), word == "on"),)
    elif item.kind in ("seal", "fastener") and word in ("in", "out"):
        base = ("seated", word == "in") if item.kind == "seal" else ("off", word == "out")
        made = ((fact(base[0], name), base[1]),)
    elif item.kind in ("pressure-space", "motion", "stored-energy") and word in ("isolated", "locked"):
        devices = [lit for feed in machine.feeds.get(name, ()) for lit in scheme_literals(machine, feed[0], "set")]
        made = tuple(devices)
        if word == "locked":
            made += tuple(
                lit for feed in machine.feeds.get(name, ()) for lit in scheme_literals(machine, feed[0], "locked")
            )
    elif word in WORDS:
        base_state, value = WORDS[word]
        made = ((fact(base_state, name), value),)
        if word == "locked":
            made += ((fact("set", name), True),)
    return tuple((f, not v) for f, v in made) if state.negated else made


def _conditions(field: str) -> Callable[[Machine, str, Act], list[Formula]]:
    def made(machine: Machine, name: str, _act: Act) -> list[Formula]:
        found = []
        for state in getattr(machine.items[name], field, ()):
            if state.name in machine.items or state.name == machine.equipment.name:
                found += [one(*literal) for literal in word_literals(machine, state)]
        return found

    return made


def _out_again(machine: Machine, name: str, _act: Act) -> list[Formula]:
    """Out before the start, except what comes out only when the machine runs."""
    stays = any(("stopped", False) in word_literals(machine, s) for s in machine.solids[name].comes_out)
    return [] if stays else [one(fact("in", name), False)]


def _if_dangerous(state: str, test: str) -> Callable[[Machine, str, Act], list[Formula]]:
    def made(machine: Machine, space: str, _act: Act) -> list[Formula]:
        item = machine.energies[space]
        if (
            item.kind != "pressure-space"
            or not getattr(machine, test)(space)
            or (state == "gas-free" and item.ungassed)
        ):
            return []
        return [one(fact(state, space))]

    return made


#: State word to what it takes of an entity.
NEEDS: dict[str, Callable[[Machine, str, Act], list[Formula]]] = {
    "told": _plain("told"), "stopped": _plain("stopped"), "area-clear": _plain("area-clear"),
    "set": _plain("set"), "locked": _plain("locked"), "unlocked": _plain("locked", False),
    "isolated": _isolated, "locked-off": _locked_off, "made-safe": _made_safe,
    "relieved": _plain("relieved"), "proved": _plain("proved"),
    "relieved-first": lambda m, n, a: [] if m.kind(n) == "motion" else [one(fact("relieved", n))],
    "witnessed": lambda m, n, a: [one(fact("witnessed", n))] if m.energies[n].witnessed else [],
    "gas-free": _if_dangerous("gas-free", "dangerous"), "air-free": _if_dangerous("air-free", "flammable"),
    "tested": lambda m, n, a: [] if m.energies[n].tested_in_service else [one(fact("tested", n))],
    "closed": _closed, "torqued-up": _torqued_up, "vents-shut": _vents(False), "vents-open": _vents(True),
    "supplies-off": lambda m, n, a: [one(fact("connected", s), False) for s, i in m.supplies.items() if n in i.feeds],
    "unpressured": _plain("pressured", False), "pressured-for-test": _pressured_for_test,
    "protected": _protected, "covered": _covered, "blocks-set": _bled(True), "bleeds-shut": _bled(False), "roots-shut": _roots_shut, "root-open": _root_open,
    "guards-on": lambda m, n, a: [one(fact("in", g)) for g in m.guarding.get(n, ())],
    "stopped-first": lambda m, n, a: [one("stopped")],
    "out-again": _out_again, "in": _plain("in"), "all-in": _present,
    "out": _absent,
    "on": _plain("off", False), "off": _plain("off"), "loose": _plain("eased"), "torqued": _plain("torqued"),
    "fastened": _fastened, "bare": _bare, "told-apart": _told_apart, "comes-out": _conditions("comes_out"), "goes-in": _conditions("goes_in"),
    "seated": _plain("seated"), "unseated": _plain("seated", False),
    "unspent": lambda m, n, a: [one(fact("spent", n), False)] if _spendable(m, n) else [],
    "looked": _looked, "connected": _plain("connected"), "disconnected": _plain("connected", False),
    "supplied": _plain("connected"),
    "fit": lambda m, n, a: [],  # filled in by Facts, which knows the procedure's checks
}  # fmt: skip


def start_value(machine: Machine, fact_: str) -> bool:
    """The fact's value before the job: in service, complete, tight, unlocked, unproved, untold."""
    state, _, name = fact_.partition(" ")
    if state == "in":
        return machine.kind(name) != "temporary"
    if state == "set":
        item = machine.items.get(name)
        return isinstance(item, Valve) and bool(item.isolates) and item.isolates == item.in_service
    return state in ("torqued", "seated", "air-free", "tested", "looked", "fit")
