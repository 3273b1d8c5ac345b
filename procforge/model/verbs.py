"""The verb table: what each trade verb needs and what it does, as data. Adding a verb is adding a row.

A need is written `rule: state of whom`: the state must hold, else the rule fires. An effect is written
`state of whom` or `no state of whom`. `whom` is a selector that starts at the object the verb acts on
(see analysis/select.py); what a state means as facts stands in analysis/states.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, slots=True)
class Need:
    """`state` must hold of the entities that `whom` selects; `rule` names the fault if it doesn't."""

    rule: str
    state: str
    whom: str


@dataclass(frozen=True, slots=True)
class Effect:
    """`state` becomes true or false of the entities that `whom` selects."""

    state: str
    whom: str
    value: bool = True


@dataclass(frozen=True, slots=True)
class Verb:
    """One row: a verb on some kinds of object. `passed` are effects that only a passed result has.

    `say` is the instruction; `{it}` stands for the objects. `reads` marks verbs that give a reading or a
    result. Free objects (`free`) are names of people, rooms or things outside the machine.
    """

    name: str
    on: tuple[str, ...]
    say: str
    needs: tuple[Need, ...] = ()
    effects: tuple[Effect, ...] = ()
    passed: tuple[Effect, ...] = ()
    reads: bool = False
    free: bool = False


#: States of the machine as a whole.
GLOBAL = frozenset({"told", "stopped", "area-clear"})


def _whom(state: str) -> str:
    return "machine" if state in GLOBAL else "it"


def _needs(text: str) -> tuple[Need, ...]:
    found = []
    for line in filter(None, (entry.strip() for entry in text.split(";"))):
        rule, _, rest = line.partition(":")
        state, _, whom = rest.strip().partition(" of ")
        found.append(Need(rule.strip(), state.strip(), whom.strip() or _whom(state.strip())))
    return tuple(found)


def _effects(text: str) -> tuple[Effect, ...]:
    found = []
    for line in filter(None, (entry.strip() for entry in text.split(";"))):
        state, _, whom = line.partition(" of ")
        value = not state.startswith("no ")
        state = state.removeprefix("no ").strip()
        found.append(Effect(state, whom.strip() or _whom(state), value))
    return tuple(found)


def _row(name: str, on: str, say: str, needs: str = "", effects: str = "", passed: str = "", **more: bool) -> Verb:
    return Verb(name, tuple(on.split()), say, _needs(needs), _effects(effects), _effects(passed), **more)


SOLIDS = "part safety-device"
VALVES = "isolator valve"

#: Every step that opens a space or takes something from before a stored energy or a motion.
OPENS = """
    opened-before-isolated: isolated of bounds; opened-before-locked: locked-off of bounds;
    opened-before-relieved: relieved of bounds; opened-before-proved: proved of bounds;
    opened-with-gas: gas-free of bounds; opened-before-witnessed: witnessed of bounds;
    relief-valve-out: covered of protected;
    spring-not-relieved: made-safe of held-back;
"""
#: Hands near a motion.
NEAR = "motion-not-made-safe: made-safe of near;"
OPENED = "no air-free of bounds; no tested of bounds; no area-clear;"
CLOSED = "no proved of bounds-that-refill; no area-clear;"

#: What must hold before a space is let down; what its pressure holds up must not fall or spring.
LETS_DOWN = (
    "vented-while-fed: isolated; relieved-before-locked: locked-off; spring-not-relieved: made-safe of held-back"
)

#: What must hold before a spring or load is loaded again.
LOADS_SPRING = "spring-loaded-while-open: all-in of holding-back; spring-loaded-while-open: fastened of holding-back"

#: What must hold before anything is put on a space through a supply.
UNDER_PRESSURE = """
    pressurised-while-open: closed; pressurised-untorqued: torqued-up;
    pressurised-with-vent-open: vents-shut; supply-not-connected: supplied of supply;
"""

#: What must hold before a feed is opened again.
RETURNS = """
    returned-while-locked: unlocked of it; bleed-open-to-feed: bleeds-shut of it;
    returned-while-open: closed of fed-spaces; returned-untorqued: torqued-up of fed-spaces;
    returned-untested: tested of fed-spaces; returned-with-air: air-free of fed-spaces;
    returned-with-vent-open: vents-shut of fed-spaces; supply-left-connected: supplies-off of fed-spaces;
    test-pressure-left-on: unpressured of fed-spaces; relief-valve-out: protected of fed-spaces;
    gauge-over-range: roots-shut of fed-spaces; guard-left-off: guards-on of fed-motions;
"""

ROWS: tuple[Verb, ...] = (
    # ---- people and the machine as a whole -----------------------------------------------------
    _row("notify", "free", "Tell {it}.", effects="told", free=True),
    _row("shut-down", "machine", "Shut down {it}.", effects="stopped", free=True),
    _row(
        "start", "machine", "Start {it}.",
        needs="""people-not-told: told; guard-left-off: guards-on of all-motions;
            temporary-left-in: out-again of all-temporary; started-with-lock-on: unlocked of all-driver-isolators""",
        effects="no stopped; no proved of all-motions", free=True,
    ),
    _row("clear", "free", "See that {it} is clear of people, tools and loose objects.", effects="area-clear", free=True),
    # ---- isolating -----------------------------------------------------------------------------
    _row(
        "isolate", VALVES, "{set} {it}.",
        needs="isolated-before-shut-down: stopped-first of fed-motions; relief-valve-out: covered of protected; bleed-open-to-feed: blocks-set",
        effects="set; no relieved of fed; no proved of fed",
    ),
    _row(
        "return", VALVES, "{reset} {it}.", needs=RETURNS,
        effects="no set; no relieved of fed; no proved of fed; no gas-free of fed-spaces; no proved of vents-of-refilling",
    ),
    _row("open", VALVES, "Open {it}.", needs="gauge-over-range: relieved of gauged-behind"),
    _row("shut", VALVES, "Shut {it}."),
    _row("switch-off", VALVES, "Switch off {it}."),
    _row("switch-on", VALVES, "Switch on {it}."),
    _row("lock", VALVES, "Lock {it} {position} and tag it.", needs="locked-before-set: set", effects="locked"),
    _row(
        "unlock", VALVES, "Take the lock and tag off {it}.",
        needs="""not-in-that-state: locked; unlocked-while-open: closed of fed-spaces;
            unlocked-untorqued: torqued-up of fed-spaces; unlocked-untested: tested of fed-spaces;
            test-pressure-left-on: unpressured of fed-spaces; guard-left-off: guards-on of fed-motions;
            unlocked-area-not-clear: area-clear""",
        effects="no locked; no proved of fed; no told",
    ),
    # ---- pressure ------------------------------------------------------------------------------
    _row(
        "vent", "pressure-space", "Vent {it}{to}.",
        needs=LETS_DOWN,
        effects="vents-open; relieved",
    ),
    _row(
        "drain", "pressure-space", "Drain {it}{to}.",
        needs=LETS_DOWN,
        effects="vents-open; relieved",
    ),
    _row(
        "purge", "pressure-space", "Purge {it}.",
        needs="purged-while-fed: isolated; purged-while-open: closed; purged-with-vent-shut: vents-open",
        effects="gas-free; air-free; no proved",
    ),
    _row(
        "prove", "pressure-space motion stored-energy", "Prove {it} {safe}.",
        needs="""proved-while-fed: isolated; proved-before-locked: locked-off; proved-before-relieved: relieved-first;
            proof-on-open-vent: vents-shut; proof-through-shut-root: root-open of gauge""",
        effects="no witnessed", passed="proved", reads=True,
    ),
    _row("gas-test", "pressure-space", "Test {it} for gas.", reads=True),
    _row(
        "pressurise", "pressure-space", "Pressurise {it}.",
        needs=UNDER_PRESSURE + "gauge-over-range: roots-shut of reached",
        effects="pressured of reached; no relieved of reached; no proved of reached; no area-clear",
    ),
    _row(
        "leak-test", "pressure-space", "Leak-test {it}.",
        needs=UNDER_PRESSURE + "tested-without-pressure: pressured-for-test; gauge-over-range: roots-shut of reached",
        effects="pressured of reached-by-supply; no relieved of reached-by-supply; no proved of reached-by-supply",
        passed="tested", reads=True,
    ),
    _row("let-down", "pressure-space", "Let the test pressure down in {it}.", effects="no pressured of reached; relieved of reached"),
    _row("connect", "supply", "Connect {it}.", needs="not-in-that-state: disconnected", effects="connected; no proved of fed; no area-clear"),
    _row(
        "disconnect", "supply", "Disconnect {it}.",
        needs="not-in-that-state: connected; test-pressure-left-on: unpressured of fed-spaces", effects="no connected",
    ),
    _row("look-into", "pressure-space", "Look into {it} for loose objects.", effects="looked of boundary"),
    # ---- motion and stored energy --------------------------------------------------------------
    _row(
        "try-start", "driver motion", "Try to start {it}.",
        needs="proved-while-fed: isolated of driven; proved-before-locked: locked-off of driven",
        passed="proved of driven", effects="no witnessed of driven", reads=True, free=False,
    ),
    _row(
        "relieve", "stored-energy", "Relieve {it}.",
        needs="relieved-before-locked: locked-off; vented-while-fed: isolated", effects="relieved; no proved",
    ),
    _row("tension", "stored-energy", "Tension {it}.", needs=LOADS_SPRING, effects="no relieved; no proved"),
    _row("charge", "stored-energy", "Charge {it}.", needs=LOADS_SPRING, effects="no relieved; no proved"),
    _row(
        "charge", "pressure-space", "Charge {it}.", needs=UNDER_PRESSURE + "gauge-over-range: roots-shut of reached",
        effects="no relieved of reached; no proved of reached; no area-clear",
    ),
    # ---- taking apart --------------------------------------------------------------------------
    _row(
        "ease", "fastener", "Ease {it}{turn}.",
        needs=OPENS + NEAR + "not-in-that-state: on; comes-out-too-early: comes-out; removed-under-another: bare",
        effects="no torqued; eased; spent of single-use-seals; " + OPENED,
    ),
    _row("nip-up", "fastener", "Nip up {it}.", needs="not-in-that-state: loose;" + NEAR, effects="eased"),
    _row(
        "remove", "fastener", "Remove {it}.",
        needs=OPENS + NEAR + "not-in-that-state: on; comes-out-too-early: comes-out; removed-under-another: bare",
        effects="no torqued; no eased; off; spent of single-use-seals; spent-if-single; no fit; " + OPENED,
    ),
    _row(
        "remove", SOLIDS, "Remove {it}.",
        needs=OPENS + NEAR + """not-in-that-state: in; fasteners-still-on: off of fasteners; removed-under-another: bare;
            comes-out-too-early: comes-out; look-alikes-unmarked: told-apart; not-out-yet: out of unit""",
        effects="""no in; no seated of seals; no fit of seals; spent of single-use-seals; spent-if-single; no fit;
            no fit of unit; no looked; """ + OPENED,
    ),
    _row(
        "remove", "guard", "Remove {it}.",
        needs="guard-off-too-early: made-safe of guarded; not-in-that-state: in; fasteners-still-on: off of fasteners; comes-out-too-early: comes-out",
        effects="no in; no area-clear",
    ),
    _row("remove", "seal", "Remove {it}.", needs="joint-still-closed: out of sealed; comes-out-too-early: comes-out", effects="no seated; spent-if-single; no fit"),
    _row("remove", "temporary", "Remove {it}.",
        needs="not-in-that-state: in; comes-out-too-early: comes-out; spring-loaded-while-open: fastened of holding-blocked",
        effects="no in; no relieved of fed; no proved of fed; no relieved of blocked; no proved of blocked; no looked of stood-in; no area-clear"),
    # ---- judging -------------------------------------------------------------------------------
    _row("mark", f"{SOLIDS} fastener seal", "Mark {it}.", effects="marked"),
    _row("clean", "any", "Clean {it}."),
    _row("inspect", "any", "Inspect {it}."),
    _row("lubricate", "any", "Lubricate {it}."),
    _row("count", "any", "Count {it}."),
    _row("record", "any", "Record {it}."),
    _row("observe", "any", "Observe {it}."),
    _row("lift", "any", "Lift {it}.", needs=NEAR),
    _row("support", "any", "Support {it}."),
    _row("align", "any", "Align {it}.", needs=NEAR),
    _row("rebuild", SOLIDS, "Rebuild {it}.", needs="not-out-yet: out", effects="no fit"),
    _row("renew", SOLIDS, "Renew {it}.", needs="not-out-yet: out", effects="fit; no spent; all-in of inner; no spent of inner"),
    _row("exchange", SOLIDS, "Exchange {it}.", needs="not-out-yet: out", effects="fit; no spent; all-in of inner; no spent of inner"),
    _row("renew", "fastener", "Renew {it}.", needs="not-out-yet: off", effects="fit; no spent"),
    _row("renew", "seal", "Renew {it}.",
        needs="""joint-still-closed: out of sealed; new-seal-on-old: unseated; goes-in-too-early: goes-in;
            fitted-before-underlying: all-in of beneath""",
        effects="seated; no spent; fit"),
    # ---- putting back --------------------------------------------------------------------------
    _row(
        "fit", SOLIDS, "Fit {it}.",
        needs="""not-in-that-state: out; fitted-before-underlying: all-in of beneath; seal-not-seated: seated of seals;
            no-last-look: looked; never-judged: fit; goes-in-too-early: goes-in; unit-incomplete: all-in of inner;
            spent-part-refitted: unspent; fasteners-still-on: off of fasteners; not-out-yet: out of unit;""" + NEAR,
        effects="in; " + CLOSED,
    ),
    _row("fit", "guard", "Fit {it}.", needs="not-in-that-state: out; fitted-before-underlying: all-in of beneath; guard-off-too-early: made-safe of guarded; goes-in-too-early: goes-in", effects="in; no area-clear"),
    _row("fit", "seal", "Fit {it}.",
        needs="""joint-still-closed: out of sealed; new-seal-on-old: unseated; spent-seal-refitted: unspent;
            seal-reused-unchecked: fit; goes-in-too-early: goes-in; fitted-before-underlying: all-in of beneath""",
        effects="seated"),
    _row("fit-new", "seal", "Fit {it}.",
        needs="""joint-still-closed: out of sealed; new-seal-on-old: unseated; goes-in-too-early: goes-in;
            fitted-before-underlying: all-in of beneath""",
        effects="seated; no spent; fit"),
    _row("fit-new", SOLIDS, "Fit {it}.",
        needs="""not-in-that-state: out; fitted-before-underlying: all-in of beneath; seal-not-seated: seated of seals;
            no-last-look: looked; goes-in-too-early: goes-in; fasteners-still-on: off of fasteners;
            not-out-yet: out of unit;""" + NEAR,
        effects="in; fit; no spent; all-in of inner; no spent of inner; " + CLOSED),
    _row("fit", "temporary", "Fit {it}.", needs="not-in-that-state: out; relief-valve-out: covered of gagged-over; goes-in-too-early: goes-in",
        effects="in; no relieved of fed; no proved of fed; relieved of blocked; no area-clear"),
    _row("fit", "fastener", "Fit {it} hand-tight.",
        needs="not-in-that-state: off; goes-in-too-early: goes-in; fitted-before-underlying: all-in of beneath; part-not-in-place: all-in of held; spent-part-refitted: unspent; never-judged: fit;" + NEAR,
        effects="no off; eased"),
    _row("fit-new", "fastener", "Fit {it} hand-tight.",
        needs="not-in-that-state: off; goes-in-too-early: goes-in; fitted-before-underlying: all-in of beneath; part-not-in-place: all-in of held;" + NEAR,
        effects="no off; eased; no spent; fit"),
    _row("tighten", "fastener", "Tighten {it}.",
        needs="goes-in-too-early: goes-in; fitted-before-underlying: all-in of beneath; part-not-in-place: all-in of held; spent-part-refitted: unspent; never-judged: fit;" + NEAR,
        effects="torqued; no eased; no off; " + CLOSED),
    _row("tighten-new", "fastener", "Tighten {it}.",
        needs="goes-in-too-early: goes-in; fitted-before-underlying: all-in of beneath; part-not-in-place: all-in of held;" + NEAR,
        effects="torqued; no eased; no off; no spent; fit; " + CLOSED),
    _row("retighten", "fastener", "Retighten {it}.", needs="not-in-that-state: torqued;" + NEAR),
    # ---- anything else -------------------------------------------------------------------------
    _row("carry-out", "free any text", "{it}", free=True),
)  # fmt: skip


@cache
def by_name() -> dict[str, tuple[Verb, ...]]:
    """The rows of each verb word."""
    table: dict[str, list[Verb]] = {}
    for row in ROWS:
        table.setdefault(row.name, []).append(row)
    return {name: tuple(rows) for name, rows in table.items()}


def words() -> tuple[str, ...]:
    """The verbs a step may start with."""
    return tuple(dict.fromkeys(r.name for r in ROWS if not r.name.endswith("-new")))


def row_for(verb: str, kind: str, new: bool = False) -> Verb | None:
    """The row of a verb for an object of a kind; None where the verb can't act on it."""
    table = by_name()
    names = (f"{verb}-new", verb) if new else (verb,)
    for name in names:
        for row in table.get(name, ()):
            if kind in row.on or "any" in row.on:
                return row
    return None


def is_free(verb: str) -> bool:
    """Whether the verb's objects are free names, not items of the machine."""
    return any(r.free for r in by_name().get(verb, ()))
