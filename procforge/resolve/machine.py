"""Definitions to the items of a machine: one for each place, all names resolved."""

from __future__ import annotations

from typing import Any

from procforge.model.base import Scope, Valued
from procforge.model.equipment import Scheme, State, Torque, Vent
from procforge.quantities import Quantity
from procforge.resolve.desk import Desk, every, first, part
from procforge.resolve.symbols import Definition, Symbols
from procforge.syntax.nodes import Condition, Double, Item, Line, Qty, Single, Word
from procforge.syntax.nodes import Tolerance as ToleranceNode

VALVES = ("isolator", "valve")
SOLID = ("part", "guard", "safety-device", "temporary")
SPACE = ("pressure-space",)
PRESSURES = ("pressure-gauge", "pressure-absolute")

#: What kind of item each line may name.
MAY_NAME: dict[str, tuple[str, ...]] = {
    "closes": SPACE,
    "held_by": ("fastener",),
    "sealed_by": ("seal",),
    "over": (*SOLID, "fastener", "seal"),
    "under": (*SOLID, "fastener", "seal"),
    "near": ("motion",),
    "guards": ("motion",),
    "holds_back": ("stored-energy",),
    "looks_like": ("part", "seal", "safety-device"),
    "made_of": ("part", "seal", "fastener"),
    "protects": SPACE,
    "inlet_isolated": VALVES,
    "gags": ("safety-device",),
    "stands_in": ("part", "safety-device"),
    "feeds": SPACE,
    "through": VALVES,
    "behind": VALVES,
    "vented_by": VALVES,
    "proved_at": ("gauge",),
    "relieved_by": ("tool", "temporary"),
    "blocked_by": ("temporary",),
    "also_turned": SPACE,
    "isolated_by": ("isolator", "valve", "check-valve", "temporary", "supply"),
    "not_isolated_by": ("isolator", "valve", "check-valve"),
    "not_with": (),
}


class Names:
    """Looks names up for one definition at one of its places."""

    def __init__(self, desk: Desk, symbols: Symbols, definition: Definition, place: str) -> None:
        self.desk = desk
        self.symbols = symbols
        self.definition = definition
        self.place = place

    def one(self, word: Word, line: Item, form: str) -> tuple[str, ...]:
        """The items a word names from here; a finding where it names nothing or the wrong kind."""
        span = line.span(self.definition.source, word)
        target = self.symbols.definitions.get(word)
        if target is None:
            self.desk.unknown(span, "item", word, self.symbols.definitions, f'declare it: {_likely(form)} {word} "…"')
            return ()
        allowed = MAY_NAME.get(form)
        if allowed and target.kind not in allowed and word in self.desk.phantoms:
            return ()
        if allowed and target.kind not in allowed:
            self.desk.fault(
                "wrong-kind",
                span,
                f"`{word}` is a {target.kind}; here stands a {' or '.join(allowed)}",
                f"name a {allowed[0]}",
            )
            return ()
        return self.symbols.instance(str(word), self.place)

    def all(self, form: str) -> tuple[str, ...]:
        """All items the definition's lines of a form name."""
        found: list[str] = []
        for word, line in self.definition.names(form):
            found += [n for n in self.one(word, line, form) if n not in found]
        return tuple(found)

    def states(self, form: str) -> tuple[State, ...]:
        """The conditions of `comes out` and `goes in` lines."""
        found = []
        for line in self.definition.lines(form):
            found += conditions(self.desk, self.symbols, self.definition, line, self.place, (self.symbols.machine,))
        return tuple(found)


def conditions(
    desk: Desk, symbols: Symbols, home: Any, line: Item, place: str = "", free: tuple[str, ...] = ()
) -> list[State]:
    """`cover-nuts torqued and cover of outlet-pocket in`: one state for each item named. `home` has a `source`."""
    found: list[State] = []
    listed = part(line, 0)
    for entry in listed if isinstance(listed, tuple) else ():
        assert isinstance(entry, Condition)
        span = line.span(home.source, entry.name)
        if entry.name in free:
            names: tuple[str, ...] = (str(entry.name),)
        elif entry.name not in symbols.definitions:
            desk.unknown(span, "item", entry.name, symbols.definitions)
            continue
        else:
            names = symbols.instance(str(entry.name), str(entry.of or place))
        found += [State.make(name=n, state=str(entry.state), negated=bool(entry.negated), where=span) for n in names]
    return found


def _likely(form: str) -> str:
    return {"isolated_by": "isolator", "also_turned": "pressure-space"}.get(form, (MAY_NAME.get(form) or ("part",))[0])


class Values:
    """Reads the lines of a definition that may differ by variant."""

    def __init__(self, desk: Desk, definition: Definition) -> None:
        self.desk = desk
        self.definition = definition

    def each(self, form: str, scope_index: int = -1) -> list[tuple[Item, Scope]]:
        """The lines of a form with their scopes; two equally specific ones for one variant are a finding."""
        found: list[tuple[Item, Scope]] = []
        for line in self.definition.lines(form):
            names = line.node.parts[scope_index] if isinstance(line.node, Line) and line.node.parts else None
            scope = self.desk.scope(self.definition.source, line, names if isinstance(names, tuple) else None)
            unsure = isinstance(names, tuple) and any(n in self.desk.doubtful for n in names)
            for other, earlier in found:
                if unsure:
                    break
                if earlier.weight == scope.weight and _overlap(earlier, scope) and form not in ("vented_by", "stock"):
                    words = f" for {scope.words}" if scope.words else ""
                    self.desk.fault(
                        "two-values",
                        line.span(self.definition.source),
                        f"`{self.definition.name}` has two values here{words}; line {other.line} gives one already",
                        "keep one, or say which variant each is for",
                    )
                    break
            found.append((line, scope))
        return found

    def amounts(self, form: str, *kinds: str) -> tuple[Valued, ...]:
        """Quantities by variant; None for one that could not be read."""
        made = []
        for line, scope in self.each(form):
            value = self.amount(line, *kinds)
            made.append(Valued.make(value=value, scope=scope, where=line.span(self.definition.source)))
        return tuple(made)

    def amount(self, line: Item | None, *kinds: str, index: int = 0) -> Quantity | None:
        """The quantity at a place of one line."""
        if line is None:
            return None
        qty = part(line, index)
        return self.desk.amount(self.definition.source, line, qty, *kinds) if isinstance(qty, Qty) else None

    def only(self, form: str, *kinds: str, index: int = 0) -> Quantity | None:
        """The quantity of the single line of a form."""
        return self.amount(first(self.definition.item, form), *kinds, index=index)

    def words(self, form: str) -> tuple[Valued, ...]:
        """Lists of free names by variant."""
        made = []
        for line, scope in self.each(form):
            listed = part(line, 0)
            value = tuple(str(w) for w in listed) if isinstance(listed, tuple) else ()
            made.append(Valued.make(value=value, scope=scope, where=line.span(self.definition.source)))
        return tuple(made)

    def texts(self, form: str) -> tuple[Valued, ...]:
        """Single texts or numbers by variant."""
        made = []
        for line, scope in self.each(form):
            value = part(line, 0)
            text = f"{value.number} {value.unit}" if isinstance(value, Qty) else str(value)
            made.append(Valued.make(value=text, scope=scope, where=line.span(self.definition.source)))
        return tuple(made)

    def text(self, form: str, index: int = 0) -> str:
        """The word at a place of the single line of a form."""
        line = first(self.definition.item, form)
        return str(part(line, index) or "") if line else ""

    def has(self, form: str) -> bool:
        """Whether a line of the form is there."""
        return first(self.definition.item, form) is not None


def _overlap(a: Scope, b: Scope) -> bool:
    models = not a.models or not b.models or set(a.models) & set(b.models)
    services = not a.services or not b.services or set(a.services) & set(b.services)
    return bool(models and services)


def feeds_of(names: Names, values: Values) -> tuple[Valued, ...]:
    """`isolated by` lines: each feed with its alternative schemes."""
    made = []
    for line, scope in values.each("isolated_by"):
        listed = part(line, 0)
        feeds = tuple(_feed(names, line, f) for f in listed) if isinstance(listed, tuple) else ()
        made.append(
            Valued.make(value=tuple(f for f in feeds if f), scope=scope, where=line.span(names.definition.source))
        )
    for line in every(names.definition.item, "driven_by"):
        feed = part(line, 1)
        if isinstance(feed, tuple):
            made.append(Valued.make(value=(_feed(names, line, feed),), where=line.span(names.definition.source)))
    return tuple(made)


def _feed(names: Names, line: Item, feed: Any) -> tuple[Scheme, ...]:
    made = []
    for scheme in feed:
        if isinstance(scheme, Single):
            made += [Scheme.make(blocks=(n,)) for n in names.one(scheme.name, line, "isolated_by")]
        elif isinstance(scheme, Double):
            blocks = [*names.one(scheme.first, line, "isolated_by"), *names.one(scheme.second, line, "isolated_by")]
            bleed = names.one(scheme.bleed, line, "vented_by") if scheme.bleed else ()
            span = line.span(names.definition.source, scheme.second)
            if scheme.first == scheme.second:
                names.desk.fault(
                    "one-block-counted-twice",
                    span,
                    f"`{scheme.second}` is one block, counted as two",
                    "name the second block, or give it as a single isolation",
                )
            elif not scheme.bleed:
                names.desk.fault(
                    "two-blocks-without-bleed",
                    span,
                    "two blocks isolate only with an open bleed between them",
                    f"write `{scheme.first} and {scheme.second} with bleed …`",
                )
            if len(blocks) >= 2:
                made.append(Scheme.make(blocks=tuple(blocks), bleed=bleed[0] if bleed else None))
    return tuple(made)


def vents_of(names: Names, values: Values) -> tuple[Valued, ...]:
    """`vented by` lines."""
    made = []
    for line, scope in values.each("vented_by"):
        valve, to = part(line, 0), part(line, 1)
        assert isinstance(valve, Word)
        bore = values.amount(line, "length", index=2)
        for name in names.one(valve, line, "vented_by"):
            vent = Vent.make(valve=name, to=str(to or ""), bore=bore)
            made.append(Valued.make(value=vent, scope=scope, where=line.span(names.definition.source)))
    return tuple(made)


def torque_of(desk: Desk, source: Any, line: Item) -> Torque | None:
    """A `torque` line of a fastener or a step."""
    qty, tolerance = part(line, 0), part(line, 1)
    assert isinstance(qty, Qty)
    target = desk.amount(source, line, qty, "torque")
    if target is None:
        return None
    written, low, high = "", None, None
    if isinstance(tolerance, ToleranceNode):
        written, low, high = desk.tolerance(source, line, tolerance, target)
    return Torque.make(target=target, tolerance=written, low=low, high=high)
