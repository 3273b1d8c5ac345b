"""The machine in one variant: which items there are, what the selectors of the page give, facts at the start."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from procforge.model.base import Valued, Variant
from procforge.model.equipment import Scheme
from procforge.model.procedure import Procedure, Step

#: The machine as a whole, where a selector must give something.
MACHINE = ""
SPACE, MOTION, STORED = "pressure-space", "motion", "stored-energy"
ENERGIES = (SPACE, MOTION, STORED)
VALVES = ("isolator", "valve")
PARTS = ("part", "safety-device")
SOLIDS = ("part", "guard", "safety-device", "temporary")


def fact(word: str, item: str) -> str:
    """The name of a fact: its word and its item."""
    return f"{word} {item}" if item else word


class World:
    """The items of one variant. Items by name; names of items absent from the variant are dropped where named."""

    def __init__(self, procedure: Procedure, variant: Variant) -> None:
        self.procedure = procedure
        self.variant = variant
        everything = procedure.equipment.items
        self.items: dict[str, Any] = {n: i for n, i in everything.items() if i.only_for.holds(variant)}
        self.asked: dict[str, list[str]] = {}  # checks the procedure makes of an item; filled by the reader

    # ---- values ------------------------------------------------------------------------------
    def best(self, values: tuple[Valued, ...]) -> list[Any]:
        """The values for this variant that are most specific."""
        mine = [v for v in values if v.scope.holds(self.variant)]
        most = max((v.scope.weight for v in mine), default=0)
        return [v.value for v in mine if v.scope.weight == most]

    def here(self, names: Iterable[str]) -> list[str]:
        """Those of the names that exist in this variant, each once."""
        return [n for n in dict.fromkeys(names) if n in self.items]

    def kind(self, name: str) -> str:
        """The kind of an item; `free` for a name outside the machine."""
        return self.items[name].kind if name in self.items else "free"

    def of_kind(self, *kinds: str) -> list[str]:
        """All items of the kinds."""
        return [n for n, i in self.items.items() if i.kind in kinds]

    def those(self, kinds: tuple[str, ...], attribute: str, value: str) -> list[str]:
        """Items of the kinds whose list (or word) `attribute` names `value`."""
        found = []
        for name in self.of_kind(*kinds):
            held = getattr(self.items[name], attribute)
            if value == held if isinstance(held, str) else value in held:
                found.append(name)
        return found

    # ---- pressure boundary and isolation -----------------------------------------------------
    def feeds(self, energy: str) -> list[list[Scheme]]:
        """Each feed of an energy with its schemes; a check valve is no scheme, a feed without one is not asked for."""
        found = []
        for value in self.best(self.items[energy].feeds)[:1]:
            for feed in value:
                schemes = [s for s in feed if all(self.kind(m) not in ("check-valve", "free") for m in members(s))]
                if schemes:
                    found.append(schemes)
        return found

    def isolated_by(self, device: str) -> list[str]:
        """The energies whose isolation the device is part of."""
        return [e for e in self.of_kind(*ENERGIES) if any(device in members(s) for f in self.feeds(e) for s in f)]

    def devices(self) -> list[str]:
        """Every valve that is part of the isolation of some energy."""
        every = [m for e in self.of_kind(*ENERGIES) for f in self.feeds(e) for s in f for m in members(s)]
        return [m for m in dict.fromkeys(every) if self.kind(m) in VALVES]

    def closes(self, name: str) -> list[str]:
        """The spaces a solid closes."""
        return self.here(s for value in self.best(getattr(self.items[name], "closes", ()))[:1] for s in value)

    def boundary(self, space: str) -> list[str]:
        """The parts that close a space; temporary items are none."""
        return [n for n in self.of_kind("part", "guard", "safety-device") if space in self.closes(n)]

    def blinds(self, part: str) -> list[str]:
        """The temporary items that stand in for a part."""
        return self.those(("temporary",), "stands_in", part)

    def seals(self, part: str) -> list[str]:
        """The seals of a part."""
        return self.here(getattr(self.items[part], "sealed_by", ()))

    def fasteners(self, part: str) -> list[str]:
        """The fasteners that hold a part."""
        return self.here(getattr(self.items[part], "held_by", ()))

    def sealed(self, seal: str) -> list[str]:
        """The solids a seal seals."""
        return self.those(SOLIDS, "sealed_by", seal)

    def held(self, fastener: str) -> list[str]:
        """The solids a fastener holds."""
        return self.those(SOLIDS, "held_by", fastener)

    def carried(self, name: str) -> list[str]:
        """The item itself and the parts it holds or seals."""
        return [name, *self.held(name), *self.sealed(name)]

    def bounds(self, name: str) -> list[str]:
        """The spaces an item closes; a fastener's or seal's are those of its parts."""
        if self.kind(name) in ("fastener", "seal"):
            return list(dict.fromkeys(s for p in self.carried(name)[1:] for s in self.closes(p)))
        return self.closes(name)

    def vents(self, space: str) -> list[str]:
        """The vent valves of a space."""
        return self.here(v.valve for v in self.best(self.items[space].vents))

    def gauges(self, space: str) -> list[str]:
        """The gauges a space may be proved at."""
        return self.here(g for value in self.best(self.items[space].gauges)[:1] for g in value)

    def supplies(self, space: str) -> list[str]:
        """The supplies that feed a space."""
        return self.those(("supply",), "feeds", space)

    def safety(self, space: str) -> list[str]:
        """The safety devices that protect a space."""
        return self.those(("safety-device",), "protects", space)

    def fluid(self, space: str) -> list[str]:
        """What a space holds, as words."""
        return [w for value in self.best(self.items[space].fluid)[:1] for w in value]

    def over(self, name: str) -> list[str]:
        """What lies over an item."""
        return self.those((*SOLIDS, "fastener", "seal"), "over", name)

    def lookalikes(self, name: str) -> list[str]:
        """What looks like an item; two things look like each other."""
        named = getattr(self.items[name], "looks_like", ())
        back = self.those((*PARTS, "seal"), "looks_like", name)
        return [n for n in self.here([*named, *back]) if n != name]

    # ---- valves ------------------------------------------------------------------------------
    def is_set_when(self, valve: str, position: str) -> bool:
        """Whether `set` of the valve is true when it stands in a position: open, shut, on or off."""
        item = self.items[valve]
        return bool(position == item.isolates if item.isolates else position != item.in_service)

    # ---- checks ------------------------------------------------------------------------------
    def demanded(self, name: str) -> list[str]:
        """The checks the machine demands of an item."""
        item = self.items[name]
        named = list(getattr(item, "judged_by", ()))
        return ["any"] if not named and item.kind == "seal" and not item.single_use else named

    def checks(self, name: str) -> list[str]:
        """All checks of an item: those demanded, `any` among them, and those the procedure makes."""
        return list(dict.fromkeys([*self.demanded(name), *self.asked.get(name, [])]))

    # ---- selectors ---------------------------------------------------------------------------
    def select(self, whom: str, it: str, step: Step | None = None) -> list[str]:
        """The entities a selector of the verb table gives."""
        if whom == "it":
            return [it]
        if whom == "machine":
            return [MACHINE]
        found: Iterable[str] = getattr(self, "whom_" + whom.replace("-", "_"))(it, step)
        return list(dict.fromkeys(found))

    def whom_bounds(self, it: str, _: Any) -> list[str]:
        return self.bounds(it)

    def whom_bounds_that_refill(self, it: str, _: Any) -> list[str]:
        return [s for s in self.bounds(it) if self.items[s].reaccumulates]

    def whom_boundary(self, it: str, _: Any) -> list[str]:
        return self.boundary(it)

    def whom_near(self, it: str, _: Any) -> list[str]:
        return self.here(m for p in self.carried(it) for m in getattr(self.items[p], "near", ()))

    def whom_guarded(self, it: str, _: Any) -> list[str]:
        return self.here([*self.items[it].guards, *self.items[it].near])

    def whom_held_back(self, it: str, _: Any) -> list[str]:
        return self.here(e for p in self.carried(it) for e in getattr(self.items[p], "holds_back", ()))

    def whom_holding_back(self, it: str, _: Any) -> list[str]:
        return self.those((*SOLIDS, "fastener", "seal"), "holds_back", it)

    def whom_holding_blocked(self, it: str, _: Any) -> list[str]:
        return [n for e in self.whom_blocked(it, _) for n in self.whom_holding_back(e, _)]

    def whom_fed(self, it: str, _: Any) -> list[str]:
        return self.here(self.items[it].feeds) if self.kind(it) == "supply" else self.isolated_by(it)

    def whom_fed_spaces(self, it: str, _: Any) -> list[str]:
        return [e for e in self.whom_fed(it, _) if self.kind(e) == SPACE]

    def whom_fed_motions(self, it: str, _: Any) -> list[str]:
        return [e for e in self.whom_fed(it, _) if self.kind(e) == MOTION]

    def whom_vents_of_refilling(self, it: str, _: Any) -> list[str]:
        return [s for s in self.of_kind(SPACE) if self.items[s].reaccumulates and it in self.vents(s)]

    def whom_gauged_behind(self, it: str, _: Any) -> list[str]:
        return [s for s in self.of_kind(SPACE) if any(self.items[g].root == it for g in self.tender_gauges(s))]

    def tender_gauges(self, space: str) -> list[str]:
        """The gauges of a space that have a `not above` limit."""
        return [g for g in self.gauges(space) if self.items[g].not_above is not None]

    def whom_gauge(self, it: str, step: Step | None) -> list[str]:
        if step is not None and step.at is not None and self.kind(step.at.name) == "gauge":
            return [step.at.name]
        only = self.gauges(it) if self.kind(it) == SPACE else []
        return only if len(only) == 1 else []

    def whom_supply(self, _: str, step: Step | None) -> list[str]:
        return [t.name for t in (step.tools if step else ()) if self.kind(t.name) == "supply"]

    def whom_reached(self, it: str, step: Step | None) -> list[str]:
        return [it, *self.here(s for u in self.whom_supply(it, step) for s in self.items[u].feeds)]

    def whom_reached_by_supply(self, it: str, step: Step | None) -> list[str]:
        return self.whom_reached(it, step) if self.whom_supply(it, step) else []

    def whom_seals(self, it: str, _: Any) -> list[str]:
        return self.seals(it)

    def whom_single_use_seals(self, it: str, _: Any) -> list[str]:
        parts = self.held(it) if self.kind(it) == "fastener" else [it]
        return [s for p in parts for s in self.seals(p) if self.items[s].single_use]

    def whom_sealed(self, it: str, _: Any) -> list[str]:
        return self.sealed(it)

    def whom_fasteners(self, it: str, _: Any) -> list[str]:
        return self.fasteners(it)

    def whom_held(self, it: str, _: Any) -> list[str]:
        return self.held(it)

    def whom_beneath(self, it: str, _: Any) -> list[str]:
        return self.here(self.items[it].over)

    def whom_unit(self, it: str, _: Any) -> list[str]:
        return self.those(SOLIDS, "made_of", it)

    def whom_inner(self, it: str, _: Any) -> list[str]:
        return self.here(getattr(self.items[it], "made_of", ()))

    def whom_driven(self, it: str, _: Any) -> list[str]:
        return [it] if self.kind(it) == MOTION else self.those((MOTION,), "driver", it)

    def whom_protected(self, it: str, _: Any) -> list[str]:
        devices = [p for p in self.carried(it) if self.kind(p) == "safety-device"]
        devices += self.those(("safety-device",), "inlet_isolated", it)
        return self.here(s for d in devices for s in self.items[d].protects)

    def unprotecting(self, it: str) -> list[str]:
        """The safety devices that an item is, holds, seals, isolates the inlet of or gags."""
        gagged = self.here([getattr(self.items[it], "gags", "")])
        return [*self.carried(it), *self.those(("safety-device",), "inlet_isolated", it), *gagged]

    def whom_gagged_over(self, it: str, _: Any) -> list[str]:
        return self.here(s for d in self.here([self.items[it].gags]) for s in self.items[d].protects)

    def whom_blocked(self, it: str, _: Any) -> list[str]:
        return self.those((STORED,), "blocked_by", it)

    def whom_stood_in(self, it: str, _: Any) -> list[str]:
        return self.here(self.items[it].stands_in)

    def whom_all_motions(self, _it: str, _: Any) -> list[str]:
        return self.of_kind(MOTION)

    def whom_all_temporary(self, _it: str, _: Any) -> list[str]:
        return self.of_kind("temporary")

    def whom_all_driver_isolators(self, _it: str, _: Any) -> list[str]:
        blocks = [b for m in self.of_kind(MOTION) for f in self.feeds(m) for s in f for b in s.blocks]
        return [b for b in blocks if self.kind(b) in VALVES]


def members(scheme: Scheme) -> list[str]:
    """Blocks and bleed of a scheme."""
    return [*scheme.blocks, *([scheme.bleed] if scheme.bleed else [])]
