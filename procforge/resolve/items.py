"""One builder for each kind of item."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from procforge.model.base import EVERYWHERE, Valued
from procforge.model.equipment import (
    AnyThing,
    Consumable,
    Energy,
    Fastener,
    Gauge,
    Seal,
    Solid,
    Supply,
    Titled,
    Valve,
)
from procforge.quantities import Problem, Quantity, read_number
from procforge.resolve.desk import Desk, first, part
from procforge.resolve.machine import PRESSURES, Names, Values, feeds_of, torque_of, vents_of
from procforge.resolve.symbols import Definition, Symbols
from procforge.syntax.nodes import Item, Word


def build(desk: Desk, symbols: Symbols, definition: Definition, name: str, place: str) -> AnyThing:
    """The item a definition stands for at one place."""
    names, values = Names(desk, symbols, definition, place), Values(desk, definition)
    common = {} if definition.implied else _common(values)
    common |= {
        "kind": definition.kind,
        "name": name,
        "base": definition.name,
        "title": definition.title,
        "at": place,
        "where": definition.where,
    }
    if definition.implied:
        return (Solid if definition.kind == "part" else Titled).make(
            **common, **({"inside": _unit(definition, place)} if definition.kind == "part" else {})
        )
    maker, more = _KINDS.get(definition.kind, (Titled, _nothing))
    made: AnyThing = maker.make(**common, **more(names, values))
    return made


def _unit(definition: Definition, place: str) -> str:
    return definition.inside or place


def _common(values: Values) -> dict[str, Any]:
    definition = values.definition
    only = first(definition.item, "only_for")
    scope = EVERYWHERE
    if only is not None:
        listed = part(only, 0)
        scope = values.desk.scope(definition.source, only, listed if isinstance(listed, tuple) else None)
    return {
        "only_for": scope,
        "stock": values.texts("stock"),
        "quantity": values.texts("quantity"),
        "prose": tuple(str(w) for _, w in definition.item.prose),
    }


def _nothing(_names: Names, _values: Values) -> dict[str, Any]:
    return {}


def _energy(names: Names, values: Values) -> dict[str, Any]:
    turned = names.all("also_turned")
    proved_by = values.text("proved_by") or values.text("driven_by", 2)
    return {
        "feeds": feeds_of(names, values),
        "not_isolated_by": names.all("not_isolated_by"),
        "witnessed": values.has("opening_witnessed"),
        "witness_role": values.text("opening_witnessed"),
        "reaccumulates": values.has("reaccumulates"),
        "proof_good_for": values.only("proof_good", "time"),
        "fluid": values.words("holds"),
        "pressure": values.amounts("pressure", *PRESSURES),
        "test_limit": values.amounts("test_limit", *PRESSURES),
        "volume": values.amounts("volume", "volume"),
        "vents": vents_of(names, values),
        "gauges": _gauges(names, values),
        "ungassed": values.text("opening_ungassed"),
        "tested_in_service": values.has("tested_in_service"),
        "holds_back": names.all("holds_back"),
        "precharged": values.has("pre_charged"),
        "driver": values.text("driven_by"),
        "proved_by": proved_by,
        "turned_by": turned,
        "relieved_by": names.all("relieved_by"),
        "blocked_by": names.all("blocked_by"),
    }


def _gauges(names: Names, values: Values) -> tuple[Valued, ...]:
    made = []
    for line, scope in values.each("proved_at"):
        words = [w for w in line.node.parts if isinstance(w, Word)]  # type: ignore[union-attr]
        found = tuple(n for w in words for n in names.one(w, line, "proved_at"))
        made.append(Valued.make(value=found, scope=scope, where=line.span(names.definition.source)))
    return tuple(made)


def _valve(_names: Names, values: Values) -> dict[str, Any]:
    return {"in_service": values.text("in_service"), "isolates": values.text("in_service", 1)}


def _gauge(names: Names, values: Values) -> dict[str, Any]:
    line = first(values.definition.item, "range")
    root = names.all("behind")
    low, high = _range(values, line)
    return {
        "low": low,
        "high": high,
        "accuracy": _accuracy(values, line),
        "root": root[0] if root else "",
        "not_above": values.only("behind", *PRESSURES, index=1),
        "calibrated": values.has("calibrated"),
        "calibrated_every": values.only("calibrated", "time", "calendar"),
    }


def _range(values: Values, line: Item | None) -> tuple[Quantity | None, Quantity | None]:
    """The ends of a range; where they don't go together only the low one stands."""
    low = values.amount(line, index=0)
    high = values.amount(line, index=1) if low is not None else None
    if line is None or low is None or high is None:
        return low, high
    span = line.span(values.definition.source)
    if low.kind != high.kind:
        message = f"a range from {low} to {high}: these are of different kinds"
        values.desk.fault("wrong-quantity", span, message, "give both ends in one unit")
        return low, None
    if low == high:
        values.desk.fault("wrong-quantity", span, f"a range from {low} to {high} holds nothing", "give both ends")
        return low, None
    if low > high:
        values.desk.fault("limits-crossed", span, f"the range starts at {low} and ends at {high}", "swap them")
        return high, low
    return low, high


def _accuracy(values: Values, line: Item | None) -> str:
    """The accuracy class in percent of full scale, as written; above 0 and at most 10."""
    word = part(line, 2) if line else None
    if line is None or not isinstance(word, Word):
        return ""
    number = read_number(word)
    if isinstance(number, Problem) or not 0 < number <= 10 or "/" in word:
        span = line.span(values.definition.source, word)
        message = f"`{word[:20]}` is no accuracy class"
        values.desk.fault("wrong-quantity", span, message, "give the class on the dial, such as 0.6, 1.0 or 1.6")
        return ""
    return str(word)


def _layers(names: Names, values: Values) -> dict[str, Any]:
    return {
        "over": names.all("over"),
        "near": names.all("near"),
        "holds_back": names.all("holds_back"),
        "comes_out": names.states("comes_out"),
        "goes_in": names.states("goes_in"),
        "judged_by": tuple(str(w) for w, _ in values.definition.names("judged_by")),
        "single_use": values.has("single_use"),
    }


def _solid(names: Names, values: Values) -> dict[str, Any]:
    gags = names.all("gags")
    definition = values.definition
    return _layers(names, values) | {
        "closes": _closes(names, values),
        "held_by": names.all("held_by"),
        "sealed_by": names.all("sealed_by"),
        "guards": names.all("guards"),
        "mass": values.amounts("mass", "mass"),
        "looks_like": names.all("looks_like"),
        "way_up": values.text("way_up"),
        "made_of": _inner(names, definition),
        "inside": definition.inside,
        "interchangeable": values.has("interchangeable"),
        "kinds": values.words("kind"),
        "not_with": _free(definition, "not_with"),
        "not_for": _free(definition, "not_for"),
        "protects": names.all("protects"),
        "inlet_isolated": names.all("inlet_isolated"),
        "gags": gags[0] if gags else "",
        "stands_in": names.all("stands_in"),
    }


def _closes(names: Names, values: Values) -> tuple[Valued, ...]:
    made = []
    for line, scope in values.each("closes"):
        listed = part(line, 0)
        found = tuple(n for w in listed for n in names.one(w, line, "closes")) if isinstance(listed, tuple) else ()
        made.append(Valued.make(value=found, scope=scope, where=line.span(names.definition.source)))
    return tuple(made)


def _inner(names: Names, definition: Definition) -> tuple[str, ...]:
    """The unit's own inner parts, where several units are made of parts of one name."""
    names.all("made_of")  # for its findings
    own = names.place if len(definition.places) > 1 else definition.name
    return tuple(i for w, _ in definition.names("made_of") for i in names.symbols.instance(str(w), own))


def _free(definition: Definition, form: str) -> tuple[str, ...]:
    return tuple(str(w) for w, _ in definition.names(form))


def _fastener(names: Names, values: Values) -> dict[str, Any]:
    definition, desk = values.definition, values.desk
    bolts, pattern = first(definition.item, "bolts"), first(definition.item, "pattern")
    torque = []
    for line, scope in values.each("torque"):
        made = torque_of(desk, definition.source, line)
        # one that could not be read stands all the same: it was given, and has its finding
        torque.append(Valued.make(value=made, scope=scope, where=line.span(definition.source)))
    passes = first(definition.item, "passes")
    listed = part(passes, 0) if passes else part(pattern, 1) if pattern else None
    home = passes or pattern
    found = (
        [desk.amount(definition.source, home, q, "ratio") for q in listed] if isinstance(listed, tuple) and home else []
    )
    look_up, no_value = first(definition.item, "look_up"), first(definition.item, "no_value")
    count = part(bolts, 0) if bolts else None
    fields = _layers(names, values)
    return fields | {
        "count": desk.count(definition.source, bolts, count) if bolts and isinstance(count, Word) else 0,
        "thread": str(part(bolts, 1) or "") if bolts else "",
        "strength": str(part(bolts, 2) or "") if bolts else "",
        "lubricant": values.text("lubricant") or (str(part(bolts, 3) or "") if bolts else ""),
        "torque": tuple(torque),
        "look_up": (str(part(look_up, 0)), str(part(look_up, 1))) if look_up else None,
        "no_value": str(part(no_value, 0)) if no_value else "",
        "pattern": str(part(pattern, 0) or "") if pattern else "",
        "passes": tuple(q for q in found if isinstance(q, Quantity)),
        "first_bolt": values.text("first_bolt"),
        "hand_tight": values.has("hand_tight"),
        "retighten": values.only("retighten", "time"),
        "mass": values.amounts("mass", "mass"),
    }


def _seal(names: Names, values: Values) -> dict[str, Any]:
    return _layers(names, values) | {
        "looks_like": names.all("looks_like"),
        "way_up": values.text("way_up"),
        "kinds": values.words("kind"),
        "not_with": _free(values.definition, "not_with"),
        "not_for": _free(values.definition, "not_for"),
    }


def _supply(names: Names, values: Values) -> dict[str, Any]:
    through = names.all("through")
    return {
        "feeds": names.all("feeds"),
        "through": through[0] if through else "",
        "up_to": values.only("up_to", *PRESSURES),
        "pressure": values.amounts("pressure", *PRESSURES),
    }


def _consumable(_names: Names, values: Values) -> dict[str, Any]:
    definition = values.definition
    return {
        "kinds": values.words("kind"),
        "not_with": _free(definition, "not_with"),
        "not_for": _free(definition, "not_for"),
    }


_KINDS: dict[str, tuple[Any, Callable[[Names, Values], dict[str, Any]]]] = {
    "pressure-space": (Energy, _energy),
    "motion": (Energy, _energy),
    "stored-energy": (Energy, _energy),
    "isolator": (Valve, _valve),
    "valve": (Valve, _valve),
    "check-valve": (Valve, _valve),
    "gauge": (Gauge, _gauge),
    "tool": (Gauge, _gauge),
    "part": (Solid, _solid),
    "guard": (Solid, _solid),
    "safety-device": (Solid, _solid),
    "temporary": (Solid, _solid),
    "fastener": (Fastener, _fastener),
    "seal": (Seal, _seal),
    "supply": (Supply, _supply),
    "consumable": (Consumable, _consumable),
}
