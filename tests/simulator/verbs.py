"""The verb table, typed by hand from the page: for each verb and kind of object, needs, effects, effects of a pass.

A need is written `state of whom: rule`, an effect `state of whom` or `no state of whom`; without `of`, the object.
"""

from __future__ import annotations

from typing import NamedTuple


class Need(NamedTuple):
    """A state asked of all that a selector gives, under a rule."""

    state: str
    whom: str
    rule: str


class Effect(NamedTuple):
    """A state given to, or taken from, all that a selector gives."""

    state: str
    whom: str
    value: bool


class Row(NamedTuple):
    """What one verb needs and does on one kind of object."""

    needs: tuple[Need, ...] = ()
    effects: tuple[Effect, ...] = ()
    passed: tuple[Effect, ...] = ()


def _needs(*lines: str) -> tuple[Need, ...]:
    made = []
    for line in lines:
        what, rule = line.split(": ")
        state, _, whom = what.partition(" of ")
        made.append(Need(state, whom or "it", rule))
    return tuple(made)


def _effects(*lines: str) -> tuple[Effect, ...]:
    made = []
    for line in lines:
        state, _, whom = line.removeprefix("no ").partition(" of ")
        made.append(Effect(state, whom or "it", not line.startswith("no ")))
    return tuple(made)


#: Hands that open a pressure boundary.
OPENS = _needs(
    "isolated of bounds: opened-before-isolated",
    "locked-off of bounds: opened-before-locked",
    "relieved of bounds: opened-before-relieved",
    "proved of bounds: opened-before-proved",
    "gas-free of bounds: opened-with-gas",
    "witnessed of bounds: opened-before-witnessed",
    "covered of protected: relief-valve-out",
    "made-safe of held-back: spring-not-relieved",
    "made-safe of near: motion-not-made-safe",
)
NEAR = _needs("made-safe of near: motion-not-made-safe")
UNDER_TEST = _needs(
    "closed: pressurised-while-open",
    "torqued-up: pressurised-untorqued",
    "vents-shut: pressurised-with-vent-open",
    "supplied of supply: supply-not-connected",
    "roots-shut of reached: gauge-over-range",
)
RELIEVES_SPACE = Row(
    _needs(
        "isolated: vented-while-fed",
        "locked-off: relieved-before-locked",
        "made-safe of held-back: spring-not-relieved",
    ),
    _effects("vents-open", "relieved"),
)
LOADS_SPRING = Row(
    _needs("all-in of holding-back: spring-loaded-while-open", "fastened of holding-back: spring-loaded-while-open"),
    _effects("no relieved", "no proved"),
)
RENEWS_PART = Row(_needs("out: not-out-yet"), _effects("fit", "no spent", "all-in of inner", "no spent of inner"))
_FASTENER_GOES_IN = (
    "goes-in: goes-in-too-early",
    "all-in of beneath: fitted-before-underlying",
    "all-in of held: part-not-in-place",
)
_JUDGED = ("unspent: spent-part-refitted", "fit: never-judged")
_PART_GOES_IN = (
    "out: not-in-that-state",
    "all-in of beneath: fitted-before-underlying",
    "seated of seals: seal-not-seated",
    "looked: no-last-look",
    "goes-in: goes-in-too-early",
    "off of fasteners: fasteners-still-on",
    "out of unit: not-out-yet",
)
_SEAL_GOES_IN = (
    "out of sealed: joint-still-closed",
    "unseated: new-seal-on-old",
    "all-in of beneath: fitted-before-underlying",
)
_GAPES = ("no air-free of bounds", "no tested of bounds", "no area-clear of machine")

NOTHING = Row()
VALVE = ("isolator", "valve")
PART = ("part", "safety-device")
ENERGY = ("pressure-space", "motion", "stored-energy")

#: verb -> rows, each with the kinds it acts on; the first that fits is taken. `free` is a name outside the machine.
TABLE: dict[str, list[tuple[tuple[str, ...], Row]]] = {
    "notify": [(("free",), Row(effects=_effects("told of machine")))],
    "shut-down": [(("machine",), Row(effects=_effects("stopped of machine")))],
    "start": [(("machine",), Row(
        _needs(
            "told of machine: people-not-told",
            "guards-on of all-motions: guard-left-off",
            "out-again of all-temporary: temporary-left-in",
            "unlocked of all-driver-isolators: started-with-lock-on",
        ),
        _effects("no stopped of machine", "no proved of all-motions"),
    ))],
    "clear": [(("free",), Row(effects=_effects("area-clear of machine")))],
    "isolate": [(VALVE, Row(
        _needs(
            "stopped-first of fed-motions: isolated-before-shut-down",
            "covered of protected: relief-valve-out",
            "blocks-set: bleed-open-to-feed",
        ),
        _effects("set", "no relieved of fed", "no proved of fed"),
    ))],
    "return": [(VALVE, Row(
        _needs(
            "unlocked: returned-while-locked",
            "bleeds-shut: bleed-open-to-feed",
            "closed of fed-spaces: returned-while-open",
            "torqued-up of fed-spaces: returned-untorqued",
            "tested of fed-spaces: returned-untested",
            "air-free of fed-spaces: returned-with-air",
            "vents-shut of fed-spaces: returned-with-vent-open",
            "supplies-off of fed-spaces: supply-left-connected",
            "unpressured of fed-spaces: test-pressure-left-on",
            "protected of fed-spaces: relief-valve-out",
            "roots-shut of fed-spaces: gauge-over-range",
            "guards-on of fed-motions: guard-left-off",
        ),
        _effects("no set", "no relieved of fed", "no proved of fed", "no gas-free of fed-spaces", "no proved of vents-of-refilling"),
    ))],
    "lock": [(VALVE, Row(_needs("set: locked-before-set"), _effects("locked")))],
    "unlock": [(VALVE, Row(
        _needs(
            "locked: not-in-that-state",
            "closed of fed-spaces: unlocked-while-open",
            "torqued-up of fed-spaces: unlocked-untorqued",
            "tested of fed-spaces: unlocked-untested",
            "unpressured of fed-spaces: test-pressure-left-on",
            "guards-on of fed-motions: guard-left-off",
            "area-clear of machine: unlocked-area-not-clear",
        ),
        _effects("no locked", "no proved of fed", "no told of machine"),
    ))],
    "vent": [(("pressure-space",), RELIEVES_SPACE)],
    "drain": [(("pressure-space",), RELIEVES_SPACE)],
    "purge": [(("pressure-space",), Row(
        _needs("isolated: purged-while-fed", "closed: purged-while-open", "vents-open: purged-with-vent-shut"),
        _effects("gas-free", "air-free", "no proved"),
    ))],
    "prove": [(ENERGY, Row(
        _needs(
            "isolated: proved-while-fed",
            "locked-off: proved-before-locked",
            "relieved-first: proved-before-relieved",
            "vents-shut: proof-on-open-vent",
            "root-open of gauge: proof-through-shut-root",
        ),
        _effects("no witnessed"),
        _effects("proved"),
    ))],
    "gas-test": [(("pressure-space",), NOTHING)],
    "pressurise": [(("pressure-space",), Row(
        UNDER_TEST, _effects("pressured of reached", "no relieved of reached", "no proved of reached", "no area-clear of machine")
    ))],
    "leak-test": [(("pressure-space",), Row(
        UNDER_TEST + _needs("pressured-for-test: tested-without-pressure"),
        _effects("pressured of reached-by-supply", "no relieved of reached-by-supply", "no proved of reached-by-supply"),
        _effects("tested"),
    ))],
    "let-down": [(("pressure-space",), Row(effects=_effects("no pressured of reached", "relieved of reached")))],
    "connect": [(("supply",), Row(
        _needs("disconnected: not-in-that-state"), _effects("connected", "no proved of fed", "no area-clear of machine")
    ))],
    "disconnect": [(("supply",), Row(
        _needs("connected: not-in-that-state", "unpressured of fed-spaces: test-pressure-left-on"),
        _effects("no connected"),
    ))],
    "look-into": [(("pressure-space",), Row(effects=_effects("looked of boundary")))],
    "try-start": [(("driver", "motion"), Row(
        _needs("isolated of driven: proved-while-fed", "locked-off of driven: proved-before-locked"),
        _effects("no witnessed of driven"),
        _effects("proved of driven"),
    ))],
    "relieve": [(("stored-energy",), Row(
        _needs("locked-off: relieved-before-locked", "isolated: vented-while-fed"),
        _effects("relieved", "no proved"),
    ))],
    "tension": [(("stored-energy",), LOADS_SPRING)],
    "charge": [
        (("stored-energy",), LOADS_SPRING),
        (("pressure-space",), Row(
            UNDER_TEST, _effects("no relieved of reached", "no proved of reached", "no area-clear of machine")
        )),
    ],
    "ease": [(("fastener",), Row(
        OPENS + _needs("on: not-in-that-state", "comes-out: comes-out-too-early", "bare: removed-under-another"),
        _effects("no torqued", "eased", "spent of single-use-seals", *_GAPES),
    ))],
    "nip-up": [(("fastener",), Row(_needs("loose: not-in-that-state") + NEAR, _effects("eased")))],
    "remove": [
        (("fastener",), Row(
            OPENS + _needs("on: not-in-that-state", "comes-out: comes-out-too-early", "bare: removed-under-another"),
            _effects("no torqued", "no eased", "off", "spent of single-use-seals", "spent-if-single", "no fit", *_GAPES),
        )),
        (PART, Row(
            OPENS + _needs(
                "in: not-in-that-state",
                "off of fasteners: fasteners-still-on",
                "bare: removed-under-another",
                "comes-out: comes-out-too-early",
                "told-apart: look-alikes-unmarked",
                "out of unit: not-out-yet",
            ),
            _effects(
                "no in", "no seated of seals", "no fit of seals", "spent of single-use-seals", "spent-if-single", "no fit", "no fit of unit", "no looked",
                *_GAPES,
            ),
        )),
        (("guard",), Row(
            _needs("made-safe of guarded: guard-off-too-early", "in: not-in-that-state", "off of fasteners: fasteners-still-on", "comes-out: comes-out-too-early"),
            _effects("no in", "no area-clear of machine"),
        )),
        (("seal",), Row(
            _needs("out of sealed: joint-still-closed", "comes-out: comes-out-too-early"), _effects("no seated", "spent-if-single", "no fit")
        )),
        (("temporary",), Row(
            _needs(
                "in: not-in-that-state", "comes-out: comes-out-too-early",
                "fastened of holding-blocked: spring-loaded-while-open",
            ),
            _effects(
                "no in", "no relieved of fed", "no proved of fed", "no relieved of blocked", "no proved of blocked",
                "no looked of stood-in", "no area-clear of machine",
            ),
        )),
    ],
    "mark": [((*PART, "fastener", "seal"), Row(effects=_effects("marked")))],
    "lift": [(("any",), Row(NEAR))],
    "align": [(("any",), Row(NEAR))],
    "rebuild": [(PART, Row(_needs("out: not-out-yet"), _effects("no fit")))],
    "renew": [
        (PART, RENEWS_PART),
        (("fastener",), Row(_needs("off: not-out-yet"), _effects("fit", "no spent"))),
        (("seal",), Row(_needs(*_SEAL_GOES_IN, "goes-in: goes-in-too-early"), _effects("seated", "no spent", "fit"))),
    ],
    "exchange": [(PART, RENEWS_PART)],
    "fit": [
        (PART, Row(
            _needs(*_PART_GOES_IN, "fit: never-judged", "all-in of inner: unit-incomplete", "unspent: spent-part-refitted") + NEAR,
            _effects("in", "no proved of bounds-that-refill", "no area-clear of machine"),
        )),
        (("guard",), Row(
            _needs(
                "out: not-in-that-state",
                "all-in of beneath: fitted-before-underlying",
                "made-safe of guarded: guard-off-too-early",
                "goes-in: goes-in-too-early",
            ),
            _effects("in", "no area-clear of machine"),
        )),
        (("seal",), Row(
            _needs(*_SEAL_GOES_IN, "unspent: spent-seal-refitted", "fit: seal-reused-unchecked", "goes-in: goes-in-too-early"),
            _effects("seated"),
        )),
        (("temporary",), Row(
            _needs("out: not-in-that-state", "covered of gagged-over: relief-valve-out", "goes-in: goes-in-too-early"),
            _effects("in", "no relieved of fed", "no proved of fed", "relieved of blocked", "no area-clear of machine"),
        )),
        (("fastener",), Row(
            _needs("off: not-in-that-state", *_FASTENER_GOES_IN, *_JUDGED) + NEAR, _effects("no off", "eased")
        )),
    ],
    "fit new": [
        (("seal",), Row(_needs(*_SEAL_GOES_IN, "goes-in: goes-in-too-early"), _effects("seated", "no spent", "fit"))),
        (PART, Row(
            _needs(*_PART_GOES_IN) + NEAR,
            _effects("in", "fit", "no spent", "all-in of inner", "no spent of inner", "no proved of bounds-that-refill", "no area-clear of machine"),
        )),
        (("fastener",), Row(
            _needs("off: not-in-that-state", *_FASTENER_GOES_IN) + NEAR, _effects("no off", "eased", "no spent", "fit")
        )),
    ],
    "tighten": [(("fastener",), Row(
        _needs(*_FASTENER_GOES_IN, *_JUDGED) + NEAR,
        _effects("torqued", "no eased", "no off", "no proved of bounds-that-refill", "no area-clear of machine"),
    ))],
    "tighten new": [(("fastener",), Row(
        _needs(*_FASTENER_GOES_IN) + NEAR,
        _effects("torqued", "no eased", "no off", "no spent", "fit", "no proved of bounds-that-refill", "no area-clear of machine"),
    ))],
    "retighten": [(("fastener",), Row(_needs("torqued: not-in-that-state") + NEAR))],
}  # fmt: skip

#: The position each of these asks a valve for; `open` has a need of its own besides.
POSITION = {"open": "open", "shut": "shut", "switch-on": "on", "switch-off": "off"}
OPEN_NEEDS = _needs("relieved of gauged-behind: gauge-over-range")

#: Verbs that read something: they pass or fail.
READING = frozenset({"prove", "try-start", "leak-test", "gas-test"})

#: The verbs each event of `undone by` happens by.
EVENTS = {
    "opened": ("ease", "open", "remove"),
    "closed": ("fit", "shut", "tighten"),
    "removed": ("remove",),
    "fitted": ("fit",),
    "eased": ("ease",),
    "tightened": ("tighten",),
    "vented": ("drain", "vent"),
    "drained": ("drain",),
    "purged": ("purge",),
    "proved": ("prove", "try-start"),
    "isolated": ("isolate",),
    "returned": ("open", "return", "switch-on"),
    "locked": ("lock",),
    "unlocked": ("unlock",),
    "started": ("start",),
    "stopped": ("shut-down",),
    "pressurised": ("leak-test", "pressurise"),
    "tested": ("gas-test", "leak-test"),
    "connected": ("connect",),
    "disconnected": ("disconnect",),
    "relieved": ("relieve",),
    "cleaned": ("clean",),
    "renewed": ("renew",),
    "rebuilt": ("rebuild",),
    "told": ("notify",),
}

#: What the end compares, and the rule for it.
END = {
    "in": "left-out",
    "set": "isolation-left-set",
    "relieved": "spring-left-slack",
    "locked": "lock-left-on",
    "torqued": "left-loose",
    "seated": "seal-left-out",
    "spent": "seal-not-renewed",
    "connected": "supply-left-connected",
    "pressured": "test-pressure-left-on",
    "stopped": "left-stopped",
    "tested": "left-untested",
    "air-free": "air-left-in",
}

#: State words of `starts`, `leaves` and conditions: the fact and its value.
WORDS = {
    "isolated": ("set", True),
    "set": ("set", True),
    "in-service": ("set", False),
    "locked": ("locked", True),
    "unlocked": ("locked", False),
    "relieved": ("relieved", True),
    "slack": ("relieved", True),
    "proved": ("proved", True),
    "witnessed": ("witnessed", True),
    "gas-free": ("gas-free", True),
    "air-free": ("air-free", True),
    "tested": ("tested", True),
    "untested": ("tested", False),
    "pressurised": ("pressured", True),
    "in": ("in", True),
    "out": ("in", False),
    "fitted": ("in", True),
    "on": ("in", True),
    "removed": ("in", False),
    "torqued": ("torqued", True),
    "tight": ("torqued", True),
    "eased": ("torqued", False),
    "loose": ("torqued", False),
    "off": ("off", True),
    "seated": ("seated", True),
    "spent": ("spent", True),
    "marked": ("marked", True),
    "connected": ("connected", True),
    "disconnected": ("connected", False),
    "told": ("told", True),
    "stopped": ("stopped", True),
    "running": ("stopped", False),
    "looked-into": ("looked", True),
}
