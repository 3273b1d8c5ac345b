"""A machine as one variant has it: items that exist there, values picked, the relations turned round."""

from __future__ import annotations

from functools import cached_property

from procforge.model.base import Variant, pick
from procforge.model.equipment import (
    AnyThing,
    Energy,
    Equipment,
    Fastener,
    Gauge,
    Scheme,
    Seal,
    Solid,
    Supply,
    Valve,
    Vent,
)

Index = dict[str, tuple[str, ...]]


class Machine:
    """One variant's view of the equipment. All names are unique item names."""

    def __init__(self, equipment: Equipment, variant: Variant) -> None:
        self.equipment = equipment
        self.variant = variant
        self.items: dict[str, AnyThing] = {n: i for n, i in equipment.items.items() if i.only_for.holds(variant)}

    # ---- items by sort -----------------------------------------------------------------------
    @cached_property
    def energies(self) -> dict[str, Energy]:
        """Pressure spaces, motions and stored energies."""
        return {n: i for n, i in self.items.items() if isinstance(i, Energy)}

    @cached_property
    def solids(self) -> dict[str, Solid]:
        """Parts, guards, safety devices, temporary items."""
        return {n: i for n, i in self.items.items() if isinstance(i, Solid)}

    @cached_property
    def fasteners(self) -> dict[str, Fastener]:
        """Fastener sets."""
        return {n: i for n, i in self.items.items() if isinstance(i, Fastener)}

    @cached_property
    def seals(self) -> dict[str, Seal]:
        """Seals."""
        return {n: i for n, i in self.items.items() if isinstance(i, Seal)}

    @cached_property
    def supplies(self) -> dict[str, Supply]:
        """Test supplies."""
        return {n: i for n, i in self.items.items() if isinstance(i, Supply)}

    def kind(self, name: str) -> str:
        """The kind of an item, empty if the variant has none of that name."""
        item = self.items.get(name)
        return item.kind if item else ""

    def kinds(self, kind: str) -> tuple[str, ...]:
        """All items of a kind, in the order defined."""
        return self._by_kind.get(kind, ())

    @cached_property
    def _by_kind(self) -> Index:
        found: dict[str, list[str]] = {}
        for name, item in self.items.items():
            found.setdefault(item.kind, []).append(name)
        return {k: tuple(v) for k, v in found.items()}

    # ---- energies ----------------------------------------------------------------------------
    @cached_property
    def feeds(self) -> dict[str, tuple[tuple[Scheme, ...], ...]]:
        """Each energy's feeds, each with its schemes; devices the variant lacks drop out with their scheme."""
        found = {}
        for name, energy in self.energies.items():
            best = max((v.scope.weight for v in energy.feeds if v.scope.holds(self.variant)), default=0)
            lines = [v.value for v in energy.feeds if v.scope.holds(self.variant) and v.scope.weight == best]
            feeds = [tuple(s for s in feed if self._whole(s)) for line in lines for feed in line]
            found[name] = tuple(f for f in feeds if f)
        return found

    def _whole(self, scheme: Scheme) -> bool:
        names = (*scheme.blocks, *((scheme.bleed,) if scheme.bleed else ()))
        return all(n in self.items for n in names)

    @cached_property
    def fed_by(self) -> Index:
        """Device to the energies it isolates, as a block, a bleed or a spade; supply to its spaces."""
        found: dict[str, list[str]] = {}
        for energy, feeds in self.feeds.items():
            for feed in feeds:
                for scheme in feed:
                    for device in (*scheme.blocks, *((scheme.bleed,) if scheme.bleed else ())):
                        if energy not in found.setdefault(device, []):
                            found[device].append(energy)
        for name, supply in self.supplies.items():
            found.setdefault(name, []).extend(s for s in supply.feeds if s in self.items)
        return {k: tuple(v) for k, v in found.items()}

    def vents(self, space: str) -> tuple[Vent, ...]:
        """The vents of a space."""
        energy = self.energies[space]
        best = max((v.scope.weight for v in energy.vents if v.scope.holds(self.variant)), default=0)
        return tuple(
            v.value
            for v in energy.vents
            if v.scope.holds(self.variant) and v.scope.weight == best and v.value.valve in self.items
        )

    def gauges(self, space: str) -> tuple[str, ...]:
        """The gauges a space may be proved at."""
        return tuple(g for g in pick(self.energies[space].gauges, self.variant) or () if g in self.items)

    def fluid(self, space: str) -> tuple[str, ...]:
        """What a space holds: the fluid's name and its properties."""
        return tuple(pick(self.energies[space].fluid, self.variant) or ())

    def dangerous(self, space: str) -> bool:
        """Whether the space holds flammable or toxic gas."""
        return bool({"flammable", "toxic"} & set(self.fluid(space)[1:]))

    def flammable(self, space: str) -> bool:
        """Whether air in the space makes a mixture that burns."""
        return "flammable" in self.fluid(space)[1:]

    # ---- parts -------------------------------------------------------------------------------
    def closes(self, part: str) -> tuple[str, ...]:
        """The spaces a part closes."""
        item = self.solids.get(part)
        return tuple(s for s in pick(item.closes, self.variant) or () if s in self.items) if item else ()

    @cached_property
    def boundary(self) -> Index:
        """Space to the parts that close it (temporary items apart)."""
        return _turned({n: self.closes(n) for n, i in self.solids.items() if i.kind != "temporary"})

    @cached_property
    def held(self) -> Index:
        """Fastener to the parts it holds."""
        return _turned({n: i.held_by for n, i in self.solids.items()})

    @cached_property
    def sealed(self) -> Index:
        """Seal to the parts it seals."""
        return _turned({n: i.sealed_by for n, i in self.solids.items()})

    @cached_property
    def covering(self) -> Index:
        """Item to the items that lie over it."""
        return _turned({n: self.beneath(n) for n in self.items})

    def beneath(self, name: str) -> tuple[str, ...]:
        """What an item lies over."""
        return tuple(n for n in getattr(self.items[name], "over", ()) if n in self.items)

    @cached_property
    def blinds(self) -> Index:
        """Part to the temporary items that may stand in for it."""
        return _turned({n: i.stands_in for n, i in self.solids.items() if i.kind == "temporary"})

    @cached_property
    def gags(self) -> Index:
        """Safety device to the items that gag it."""
        return _turned({n: (i.gags,) for n, i in self.solids.items() if i.gags})

    @cached_property
    def protecting(self) -> Index:
        """Space to the safety devices that protect it."""
        return _turned({n: i.protects for n, i in self.solids.items() if i.protects})

    @cached_property
    def inlets(self) -> Index:
        """Valve to the safety devices whose inlet it isolates."""
        return _turned({n: i.inlet_isolated for n, i in self.solids.items() if i.inlet_isolated})

    @cached_property
    def twins(self) -> dict[str, tuple[str, ...]]:
        """Item to the items it looks like, said at either of them, by name."""
        found: dict[str, set[str]] = {}
        for name, item in self.items.items():
            for other in getattr(item, "looks_like", ()):
                if other in self.items and other != name:
                    found.setdefault(name, set()).add(other)
                    found.setdefault(other, set()).add(name)
        return {k: tuple(sorted(v)) for k, v in found.items()}

    @cached_property
    def guarding(self) -> Index:
        """Motion to its guards."""
        return _turned({n: i.guards for n, i in self.solids.items() if i.kind == "guard"})

    @cached_property
    def holding_back(self) -> Index:
        """Stored energy to the parts that hold it back."""
        return _turned({n: getattr(i, "holds_back", ()) for n, i in self.items.items() if not isinstance(i, Energy)})

    @cached_property
    def units(self) -> dict[str, str]:
        """Inner part to the unit it belongs to."""
        return {inner: n for n, i in self.solids.items() for inner in i.made_of if inner in self.items}

    # ---- valves ------------------------------------------------------------------------------
    def away(self, valve: str) -> str:
        """The position a valve isolates in, or for a vent or bleed the one it is not in while in service."""
        item = self.items[valve]
        assert isinstance(item, Valve)
        if item.isolates:
            return item.isolates
        return {"shut": "open", "open": "shut", "on": "off", "off": "on"}.get(item.in_service, "open")

    def home(self, valve: str) -> str:
        """The position a valve has in service."""
        item = self.items[valve]
        assert isinstance(item, Valve)
        return item.in_service or {"shut": "open", "open": "shut", "on": "off", "off": "on"}.get(
            self.away(valve), "shut"
        )

    def gauge(self, name: str) -> Gauge | None:
        """A gauge of the machine."""
        item = self.items.get(name)
        return item if isinstance(item, Gauge) else None

    @cached_property
    def signature(self) -> tuple[object, ...]:
        """Equal for variants whose machines behave alike: values such as torque and volume are left out."""
        return (
            tuple(self.items),
            tuple(
                (n, self.feeds[n], self.vents(n), self.gauges(n), self.dangerous(n), self.flammable(n))
                for n in self.energies
            ),
            tuple((n, self.closes(n)) for n in self.solids),
        )


def _turned(index: dict[str, tuple[str, ...]]) -> Index:
    found: dict[str, list[str]] = {}
    for name, values in index.items():
        for value in values:
            found.setdefault(value, []).append(name)
    return {k: tuple(v) for k, v in found.items()}
