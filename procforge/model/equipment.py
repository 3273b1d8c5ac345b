"""The machine, written once for its models and services."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from procforge.model.base import EVERYWHERE, Amount, Model, Scope, Valued, Variant, Where
from procforge.text import NOWHERE


class Scheme(Model):
    """One way to isolate a feed: one device, or two blocks with an open bleed between them."""

    blocks: tuple[str, ...]
    bleed: str | None = None


class State(Model):
    """A condition on an item: `cover-nuts torqued`; `negated` for `not`."""

    name: str
    state: str
    negated: bool = False
    where: Where = NOWHERE


class Thing(Model):
    """What every item of a machine has. `name` is unique; `base` is the name as defined, `at` its place."""

    kind: str
    name: str
    base: str = ""
    title: str = ""
    at: str = ""
    where: Where = NOWHERE
    only_for: Scope = EVERYWHERE
    stock: tuple[Valued, ...] = ()
    quantity: tuple[Valued, ...] = ()
    prose: tuple[str, ...] = ()


class Energy(Thing):
    """A pressure space, a motion or a stored energy. `feeds`: each feed with its alternative schemes."""

    kind: Literal["pressure-space", "motion", "stored-energy"]
    feeds: tuple[Valued, ...] = ()
    not_isolated_by: tuple[str, ...] = ()
    witnessed: bool = False
    witness_role: str = ""
    reaccumulates: bool = False
    proof_good_for: Amount | None = None
    # pressure spaces
    fluid: tuple[Valued, ...] = ()
    pressure: tuple[Valued, ...] = ()
    test_limit: tuple[Valued, ...] = ()
    volume: tuple[Valued, ...] = ()
    vents: tuple[Valued, ...] = ()
    gauges: tuple[Valued, ...] = ()
    ungassed: str = ""
    tested_in_service: bool = False
    holds_back: tuple[str, ...] = ()
    precharged: bool = False
    # motions and stored energy
    driver: str = ""
    proved_by: str = ""
    turned_by: tuple[str, ...] = ()
    relieved_by: tuple[str, ...] = ()
    blocked_by: tuple[str, ...] = ()


class Vent(Model):
    """A vent valve, where it leads and its bore."""

    valve: str
    to: str = ""
    bore: Amount | None = None


class Valve(Thing):
    """An isolator, a plain valve or a check valve; `isolates` is empty where none is declared."""

    kind: Literal["isolator", "valve", "check-valve"]
    in_service: str = ""
    isolates: str = ""


class Gauge(Thing):
    """A gauge or a measuring tool: range, accuracy class in percent of full scale, root valve."""

    kind: Literal["gauge", "tool"]
    low: Amount | None = None
    high: Amount | None = None
    accuracy: str = ""
    root: str = ""
    not_above: Amount | None = None
    calibrated: bool = False
    calibrated_every: Amount | None = None


class Solid(Thing):
    """A part, guard, safety device or temporary item."""

    kind: Literal["part", "guard", "safety-device", "temporary"]
    closes: tuple[Valued, ...] = ()
    held_by: tuple[str, ...] = ()
    sealed_by: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    holds_back: tuple[str, ...] = ()
    guards: tuple[str, ...] = ()
    mass: tuple[Valued, ...] = ()
    looks_like: tuple[str, ...] = ()
    way_up: str = ""
    judged_by: tuple[str, ...] = ()
    made_of: tuple[str, ...] = ()
    inside: str = ""
    comes_out: tuple[State, ...] = ()
    goes_in: tuple[State, ...] = ()
    interchangeable: bool = False
    single_use: bool = False
    kinds: tuple[Valued, ...] = ()
    not_with: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    protects: tuple[str, ...] = ()
    inlet_isolated: tuple[str, ...] = ()
    gags: str = ""
    stands_in: tuple[str, ...] = ()


class Torque(Model):
    """A tightening torque with its tolerance as written."""

    target: Amount
    tolerance: str = ""
    low: Amount | None = None
    high: Amount | None = None


class Fastener(Thing):
    """A set of bolts, nuts or screws handled together."""

    kind: Literal["fastener"]
    count: int = 0
    thread: str = ""
    strength: str = ""
    lubricant: str = ""
    torque: tuple[Valued, ...] = ()
    no_value: str = ""
    look_up: tuple[str, str] | None = None
    pattern: str = ""
    first_bolt: str = ""
    passes: tuple[Amount, ...] = ()
    hand_tight: bool = False
    single_use: bool = False
    retighten: Amount | None = None
    comes_out: tuple[State, ...] = ()
    goes_in: tuple[State, ...] = ()
    judged_by: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    holds_back: tuple[str, ...] = ()
    mass: tuple[Valued, ...] = ()


class Seal(Thing):
    """A gasket, O-ring or other seal."""

    kind: Literal["seal"]
    single_use: bool = False
    judged_by: tuple[str, ...] = ()
    looks_like: tuple[str, ...] = ()
    way_up: str = ""
    kinds: tuple[Valued, ...] = ()
    not_with: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    comes_out: tuple[State, ...] = ()
    goes_in: tuple[State, ...] = ()
    over: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    holds_back: tuple[str, ...] = ()


class Supply(Thing):
    """A test supply: the spaces it feeds, its valve, its highest pressure."""

    kind: Literal["supply"]
    feeds: tuple[str, ...] = ()
    through: str = ""
    up_to: Amount | None = None
    pressure: tuple[Valued, ...] = ()


class Consumable(Thing):
    """Oil, grease, nitrogen, wipes; `not_with` items or fluids, `not_for` services."""

    kind: Literal["consumable"]
    kinds: tuple[Valued, ...] = ()
    not_with: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()


class Unit(Model):
    """One machine on the site: its tag, variant, serial number and the tags of its items."""

    tag: str
    title: str = ""
    model: str = ""
    service: str = ""
    serial: str = ""
    tags: dict[str, str] = {}
    where: Where = NOWHERE


class Titled(Thing):
    """What needs no more than a title: a driver, a contact."""

    kind: Literal["driver", "contact"]


AnyThing = Annotated[
    Energy | Valve | Gauge | Solid | Fastener | Seal | Supply | Consumable | Titled, Field(discriminator="kind")
]


class Equipment(Model):
    """A machine: items by unique name; `groups` maps a bare name to the items of all its places."""

    name: str = ""
    title: str = ""
    file: str = ""
    where: Where = NOWHERE
    models: tuple[str, ...] = ()
    services: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    titles: dict[str, str] = {}
    items: dict[str, AnyThing] = {}
    groups: dict[str, tuple[str, ...]] = {}
    units: tuple[Unit, ...] = ()

    @property
    def variants(self) -> tuple[Variant, ...]:
        """Every declared model with every declared service."""
        return tuple(Variant.make(model=m, service=s) for m in self.models or ("",) for s in self.services or ("",))

    def named(self, name: str) -> tuple[AnyThing, ...]:
        """The items a name stands for: one, or one for each place; none if unknown."""
        return tuple(self.items[n] for n in self.groups.get(name, ()))
