"""Builds the Equipment from all files at hand: header, items at their places, units."""

from __future__ import annotations

import os
from pathlib import PurePath

from procforge.model.equipment import AnyThing, Equipment, Unit
from procforge.resolve.desk import Desk, first, part
from procforge.resolve.items import build
from procforge.resolve.load import used_path, uses
from procforge.resolve.symbols import Symbols, collect
from procforge.syntax.nodes import File, Line, Named, Word
from procforge.text import NOWHERE, Span


def equipment_of(desk: Desk, files: list[File]) -> tuple[Equipment, Symbols]:
    """The machine that the files describe together, and the symbols it was made from."""
    name, title, home, where, titles = _header(desk, files)
    mine = _one_machine(files)
    for file in files:
        if file not in mine:
            desk.phantoms.update(str(part(i, 1)) for i in file.items if i.form == "define")
    symbols = collect(desk, mine)
    symbols.machine = name
    items: dict[str, AnyThing] = {}
    groups: dict[str, tuple[str, ...]] = {}
    for definition in symbols.definitions.values():
        instances = symbols.instances(definition.name)
        groups[definition.name] = instances
        for index, instance in enumerate(instances):
            place = definition.places[index] if definition.places else ""
            quiet = index > 0
            kept = len(desk.findings)
            items[instance] = build(desk, symbols, definition, instance, place)
            if quiet:
                del desk.findings[kept:]
    _under(desk, symbols, items)
    machine = Equipment.make(
        name=name,
        title=title,
        file=home,
        where=where,
        models=desk.models,
        services=desk.services,
        places=tuple(symbols.places),
        titles=titles | {p: t for p, t in symbols.places.items() if t},
        items=items,
        groups=groups,
        units=tuple(_unit(desk, symbols, d.name) for d in symbols.units.values()),
    )
    return machine, symbols


def _one_machine(files: list[File]) -> list[File]:
    """The files without those of a second machine: what they define is not of this one."""
    owners = [f for f in files if any(i.form == "equipment" for i in f.items)]
    return [f for f in files if f not in owners[1:] or f is files[-1]]


def _used_at(files: list[File], used: File) -> Span | None:
    """The `use` line that names a file; None if none does."""
    for file in files:
        for item in uses(file):
            path, span = used_path(file, item)
            if os.path.normpath(path) == os.path.normpath(used.source.path):
                return span
    return None


def _header(desk: Desk, files: list[File]) -> tuple[str, str, str, Span, dict[str, str]]:
    name = title = home = ""
    where = NOWHERE
    titles: dict[str, str] = {}
    kept = _one_machine(files)
    models: list[str] = []
    services: list[str] = []
    for file in files:
        for item in file.items:
            if item.form == "equipment":
                word, text = part(item, 0), part(item, 1)
                if name:
                    desk.fault(
                        "two-machines",
                        _used_at(files, file) or item.span(file.source),
                        f"`{word}` is a second machine: a procedure acts on one",
                        "take one `equipment` line or one `use` out",
                    )
                    continue
                assert isinstance(word, Word)
                name, title, home, where = str(word), str(text), file.source.path, item.span(file.source, word)
            elif item.form in ("models", "services") and isinstance(item.node, Line) and file in kept:
                into = models if item.form == "models" else services
                for named in item.node.parts:
                    assert isinstance(named, Named)
                    if named.name in models or named.name in services:
                        desk.fault(
                            "defined-twice",
                            item.span(file.source, named.name),
                            f"`{named.name}` is declared twice",
                            "give each model and service a name of its own",
                        )
                    else:
                        into.append(str(named.name))
                        titles[str(named.name)] = str(named.title or "")
    desk.models, desk.services = tuple(models), tuple(services)
    return name, title, home, where, {k: v for k, v in titles.items() if v}


def _under(desk: Desk, symbols: Symbols, items: dict[str, AnyThing]) -> None:
    """`under X` at an item is `over` it at X."""
    from procforge.resolve.machine import Names

    more: dict[str, list[str]] = {}
    for definition in symbols.definitions.values():
        if definition.implied or not definition.lines("under"):
            continue
        for instance in symbols.instances(definition.name):
            place = items[instance].at
            kept = len(desk.findings)
            for upper in Names(desk, symbols, definition, place).all("under"):
                more.setdefault(upper, []).append(instance)
            if instance != symbols.instances(definition.name)[0]:
                del desk.findings[kept:]
    for upper, lower in more.items():
        item = items[upper]
        over = getattr(item, "over", ())
        items[upper] = item.but(over=tuple(dict.fromkeys((*over, *lower))))


def _unit(desk: Desk, symbols: Symbols, name: str) -> Unit:
    definition = symbols.units[name]
    source = definition.source

    def word(form: str) -> str:
        line = first(definition.item, form)
        return str(part(line, 0) or "") if line else ""

    for form, known in (("model", desk.models), ("service", desk.services)):
        line = first(definition.item, form)
        value = part(line, 0) if line else None
        if line and isinstance(value, Word) and value not in known:
            desk.unknown(line.span(source, value), form, value, known)
    tags: dict[str, str] = {}
    for line in definition.lines("tag"):
        item, value = part(line, 0), part(line, 1)
        assert isinstance(item, Word)
        if item not in symbols.definitions:
            desk.unknown(line.span(source, item), "item", item, symbols.definitions)
        first_use = desk.tags.setdefault(str(value), (name, str(item)))
        if first_use != (name, str(item)) and isinstance(value, Word):
            of = f"{first_use[1]} of {first_use[0]}"
            desk.fault(
                "defined-twice", line.span(source, value), f"`{value}` is the tag of {of} already", "one tag, one item"
            )
        tags[str(item)] = str(value)
    return Unit.make(
        tag=name,
        title=definition.title,
        model=word("model"),
        service=word("service"),
        serial=word("serial"),
        tags=tags,
        where=definition.where,
    )


def stem(equipment: Equipment) -> str:
    """The machine's file name without its ending: procedures may call the machine by it."""
    return PurePath(equipment.file).stem
