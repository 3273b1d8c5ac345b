"""All definitions of the files at hand: what each name stands for, and at which places."""

from __future__ import annotations

from dataclasses import dataclass, field

from procforge.findings import Mark
from procforge.resolve.desk import Desk, every, part
from procforge.syntax.nodes import File, Item, Line, Unread, Word
from procforge.text import Source, Span

#: Words that open the definition of an item.
DEFINING = frozenset(
    [
        "pressure-space",
        "motion",
        "stored-energy",
        "isolator",
        "valve",
        "check-valve",
        "gauge",
        "part",
        "guard",
        "fastener",
        "seal",
        "temporary",
        "supply",
        "safety-device",
        "driver",
        "tool",
        "consumable",
    ]
)


@dataclass(slots=True)
class Definition:
    """One `part …`, `seal …` and so on, with the places it stands at (empty: one, nowhere in particular)."""

    kind: str
    name: str
    title: str
    source: Source
    item: Item
    places: tuple[str, ...] = ()
    inside: str = ""
    implied: bool = False

    @property
    def where(self) -> Span:
        """The place of the name."""
        if isinstance(self.item.node, Line):
            words = self.item.node.parts
            if len(words) > 1 and isinstance(words[1], Word):
                return self.item.span(self.source, words[1])
        return self.item.span(self.source)

    def lines(self, form: str) -> list[Item]:
        """Its property lines of a form."""
        return every(self.item, form)

    def names(self, form: str) -> list[tuple[Word, Item]]:
        """All names its property lines of a form list, each with the line."""
        found = []
        for line in self.lines(form):
            for value in line.node.parts if isinstance(line.node, Line) else ():
                if isinstance(value, tuple):
                    found += [(w, line) for w in value if isinstance(w, Word)]
                    break
                if isinstance(value, Word):
                    found.append((value, line))
                    break
        return found


@dataclass(slots=True)
class Symbols:
    """Everything defined."""

    definitions: dict[str, Definition] = field(default_factory=dict)
    hazards: dict[str, Definition] = field(default_factory=dict)
    units: dict[str, Definition] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)
    machine: str = ""

    def kind(self, instance: str) -> str:
        """The kind of an item by its unique name."""
        return self.definitions[instance if instance in self.definitions else instance.partition(" of ")[0]].kind

    def instances(self, name: str) -> tuple[str, ...]:
        """The unique names of the items a bare name stands for."""
        definition = self.definitions[name]
        if len(definition.places) < 2:
            return (name,)
        return tuple(f"{name} of {p}" for p in definition.places)

    def instance(self, name: str, place: str) -> tuple[str, ...]:
        """The item of that name at the place if there is one there, else all of them."""
        definition = self.definitions[name]
        if len(definition.places) < 2:
            return (name,)
        if place in definition.places:
            return (f"{name} of {place}",)
        return self.instances(name)


def collect(desk: Desk, files: list[File]) -> Symbols:
    """The definitions of all files; names in unread lines are nobody's fault."""
    symbols = Symbols()
    for file in files:
        for hole in file.holes:
            if isinstance(hole.node, Unread):
                desk.phantoms.update(hole.node.words)
                if file.source.path.endswith(".proc") and hole.node.opener not in DEFINING:
                    continue
                desk.doubtful.update(hole.node.words)
                # what an unread definition held together is lost with it
                for line in hole.props:
                    words = _words(line.node.parts if isinstance(line.node, Line) else ())
                    desk.phantoms.update(words)
                    desk.doubtful.update(words)
    for file in files:
        for item in file.items:
            if item.form == "define":
                _define(desk, symbols, file.source, item)
            elif item.form == "places" and isinstance(item.node, Line):
                for named in item.node.parts:
                    symbols.places[str(named.name)] = str(named.title or "")  # type: ignore[attr-defined]
    _imply(symbols)
    _place(desk, symbols)
    return symbols


def _words(value: object) -> set[str]:
    """All names in a statement's parts."""
    if isinstance(value, Word):
        return {str(value)}
    if isinstance(value, tuple):
        return {w for entry in value for w in _words(entry)}
    return set()


def _define(desk: Desk, symbols: Symbols, source: Source, item: Item) -> None:
    kind, name, title = part(item, 0), part(item, 1), part(item, 2)
    assert isinstance(kind, Word) and isinstance(name, Word)
    made = Definition(str(kind), str(name), str(title or ""), source, item)
    table = {"hazard": symbols.hazards, "unit": symbols.units}.get(str(kind), symbols.definitions)
    if made.name in table:
        earlier = Mark(table[made.name].where, "defined first here")
        desk.fault(
            "defined-twice",
            made.where,
            f"`{made.name}` is defined twice",
            "give the second one a name of its own",
            (earlier,),
        )
        return
    if not title and made.kind not in ("unit",):
        desk.fault(
            "title-missing",
            made.where,
            f"`{made.name}` has no title for the sheet",
            f'write {made.kind} {made.name} "…"',
        )
    table[made.name] = made


def _imply(symbols: Symbols) -> None:
    """Drivers and the inner parts of a unit need no definition of their own."""
    for definition in list(symbols.definitions.values()):
        for form, kind in (("driven_by", "driver"), ("made_of", "part")):
            for word, line in definition.names(form):
                inner = symbols.definitions.get(word)
                if inner is None:
                    title = str(word).replace("-", " ").capitalize()
                    inner = Definition(kind, str(word), title, definition.source, line, implied=True)
                    symbols.definitions[str(word)] = inner


def _place(desk: Desk, symbols: Symbols) -> None:
    """Places as declared; fasteners, seals and inner parts take those of what they belong to."""
    defs = symbols.definitions
    for definition in defs.values():
        for word, line in definition.names("at_places") if not definition.implied else ():
            if word not in symbols.places:
                desk.unknown(line.span(definition.source, word), "place", word, symbols.places, "declare it: places …")
            elif word not in definition.places:
                definition.places += (str(word),)
    owners: dict[str, list[str]] = {}
    for definition in defs.values():
        if not definition.implied:
            for word, _ in definition.names("made_of"):
                owners.setdefault(str(word), []).append(definition.name)
    for inner, units in owners.items():
        if inner in defs:
            places = [p for u in units for p in (defs[u].places if len(defs[u].places) > 1 else (u,))]
            defs[inner].places = tuple(dict.fromkeys(places))
            defs[inner].inside = units[0] if len(units) == 1 else ""
    for _ in range(2):
        inherited: dict[str, list[str]] = {}
        for definition in defs.values():
            for form in ("held_by", "sealed_by"):
                for word, _line in definition.names(form) if not definition.implied else ():
                    target = defs.get(word)
                    if target and not target.implied and not target.lines("at_places") and target.name not in owners:
                        inherited.setdefault(target.name, []).extend(definition.places)
        for name, places in inherited.items():
            defs[name].places = tuple(dict.fromkeys(places))
