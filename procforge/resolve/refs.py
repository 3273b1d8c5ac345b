"""Names in a procedure: what a step's objects, tools, roles and places stand for where they are written."""

from __future__ import annotations

from dataclasses import dataclass, field

from procforge.model.procedure import Ref
from procforge.model.verbs import is_free, row_for, words
from procforge.resolve.desk import Desk
from procforge.resolve.symbols import Symbols
from procforge.syntax.nodes import Item, Object, Word
from procforge.text import Source


@dataclass(slots=True)
class Scene:
    """Where the resolver stands: the file, the places in force, what loop names are bound to, the id's prefix."""

    source: Source
    places: tuple[str, ...] = ()
    bound: dict[str, tuple[str, str | None]] = field(default_factory=dict)
    prefix: str = ""
    suffix: str = ""
    calls: tuple[str, ...] = ()

    def inner(self, **changes: object) -> Scene:
        """A copy for an inner block."""
        values = {
            "source": self.source,
            "places": self.places,
            "bound": self.bound,
            "prefix": self.prefix,
            "suffix": self.suffix,
            "calls": self.calls,
        }
        return Scene(**{**values, **changes})  # type: ignore[arg-type]


class References:
    """Turns words into Refs; a name that stands for nothing is a finding and gives none."""

    def __init__(self, desk: Desk, symbols: Symbols, roles: set[str], extra: dict[str, str]) -> None:
        self.desk = desk
        self.symbols = symbols
        self.roles = roles
        self.extra = extra
        self.used: set[str] = set()

    def objects(self, scene: Scene, item: Item, objects: tuple[Object, ...], at: Word | None = None) -> tuple[Ref, ...]:
        """All items a list of objects names, in order; a bare name of several places means all of them."""
        found: list[Ref] = []
        for entry in objects:
            found += self.thing(scene, item, entry, at)
        return tuple(found)

    def thing(self, scene: Scene, item: Item, entry: Object, at: Word | None = None) -> list[Ref]:
        """The items one object names."""
        name, place = str(entry.name), str(entry.of) if entry.of else ""
        span = item.span(scene.source, entry.name)
        bound = scene.bound.get(name)
        if bound is not None:
            name, given = bound
            place = place or given or ""
        if place in scene.bound:
            place = scene.bound[place][0]
        definition = self.symbols.definitions.get(name)
        if definition is None:
            declare = 'declare it in the machine: part … "…"'
            self._nearest(self.desk.unknown(span, "item", name, self.symbols.definitions, declare))
            return []
        self.used.add(name)
        if place and place not in definition.places:
            self.desk.lost.append(name)
            if name in self.desk.doubtful or place in self.desk.doubtful:
                return []
            self.desk.fault(
                "wrong-place",
                span,
                f"there is no `{name}` at `{place}`",
                f"it stands at {', '.join(definition.places) or 'no named place'}",
            )
            return []
        if not place and at is not None and str(at) in definition.places:
            place = str(at)
        new = entry.new is not None
        if place:
            return [Ref.make(name=n, new=new, where=span) for n in self.symbols.instance(name, place)]
        here = [p for p in scene.places if p in definition.places]
        names = (
            [n for p in here for n in self.symbols.instance(name, p)] if here else list(self.symbols.instances(name))
        )
        return [Ref.make(name=n, new=new, where=span) for n in names]

    def _nearest(self, close: list[str]) -> list[str]:
        """The known name that an unknown one is taken for; it is not told as unused."""
        self.used.update(close[:1])
        return close[:1]

    def means(self, verb: str, refs: list[Ref]) -> bool:
        """Whether the verb is one of the language and acts on the kinds of thing it is written with."""
        if verb not in words() or is_free(verb):
            return verb in words()
        return all(row_for(verb, self.symbols.kind(r.name), r.new) is not None for r in refs)

    def tools(self, scene: Scene, item: Item, words: tuple[Word, ...]) -> tuple[Ref, ...]:
        """Tools, supplies, consumables and temporary items after `with`."""
        found = []
        for word in words:
            span = item.span(scene.source, word)
            name = scene.bound.get(str(word), (str(word), None))[0]
            if name in self.symbols.definitions:
                self.used.add(name)
                found += [Ref.make(name=n, where=span) for n in self.symbols.instances(name)]
            else:
                known = [
                    n
                    for n, d in self.symbols.definitions.items()
                    if d.kind in ("tool", "consumable", "supply", "temporary", "gauge")
                ]
                declare = f'declare it: tool {name} "…"'
                self._nearest(self.desk.unknown(span, "tool, supply or consumable", name, known, declare))
        return tuple(found)

    def role(self, scene: Scene, item: Item, word: Word | None) -> str:
        """A role of the crew or one the procedure says how it is qualified."""
        if word is None:
            return ""
        if word not in self.roles:
            self.desk.unknown(
                item.span(scene.source, word), "role", word, self.roles, f"add it to the crew: crew …, 1 {word}", False
            )
        self.used.add(str(word))
        return str(word)

    def hazards(self, scene: Scene, item: Item, words: tuple[Word, ...]) -> tuple[Ref, ...]:
        """Hazards a step meets."""
        found = []
        for word in words:
            span = item.span(scene.source, word)
            if word in self.symbols.hazards:
                self.used.add(str(word))
                found.append(Ref.make(name=str(word), where=span))
            else:
                declare = f'declare it: hazard {word} "…"'
                close = self.desk.unknown(span, "hazard", word, self.symbols.hazards, declare, False)
                # the nearest is taken to be meant, so that it is not told as met by no step
                found += [Ref.make(name=n, where=span) for n in self._nearest(close)]
        return tuple(found)

    def facts(self, scene: Scene, item: Item, words: tuple[Word, ...]) -> tuple[Ref, ...]:
        """Facts of the user's own."""
        found = []
        for word in words:
            span = item.span(scene.source, word)
            if word in self.extra:
                self.used.add(str(word))
                found.append(Ref.make(name=str(word), where=span))
            else:
                self._nearest(self.desk.unknown(span, "fact", word, self.extra, f'declare it: fact {word} "…"'))
        return tuple(found)
