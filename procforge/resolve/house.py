"""House rules and facts of the user's own, of a procedure and the files it uses."""

from __future__ import annotations

from typing import Any

from procforge.model.equipment import State
from procforge.model.procedure import Fact, HouseRule
from procforge.resolve.desk import Desk, first, part
from procforge.resolve.machine import conditions
from procforge.resolve.symbols import Symbols
from procforge.syntax.nodes import Event, File, Item, Line

NOTHING = ("", "")


def house_rules(
    desk: Desk, symbols: Symbols, files: list[File], machine_names: tuple[str, ...]
) -> dict[str, tuple[HouseRule, ...] | tuple[Fact, ...]]:
    """The fields `house_rules` and `facts` of a Procedure."""
    facts = [_fact(item, file) for file in files for item in file.items if item.form == "fact"]
    free = (*machine_names, *(f.name for f in facts))
    rules = [
        _rule(desk, symbols, item, file, free) for file in files for item in file.items if item.form == "house_rule"
    ]
    return {"house_rules": tuple(rules), "facts": tuple(facts)}


def _fact(item: Item, file: File) -> Fact:
    return Fact.make(
        name=str(part(item, 0)),
        title=str(part(item, 1)),
        undone_by=_events(part(item, 2)),
        where=item.span(file.source),
    )


def _rule(desk: Desk, symbols: Symbols, item: Item, file: File, free: tuple[str, ...]) -> HouseRule:
    """A rule: what happens first, what then, what undoes or answers it."""
    node = part(item, 1)
    assert isinstance(node, Line)
    form = node.form.removeprefix("rule_").replace("_", "-")
    parts = node.parts
    fields: dict[str, Any] = {}
    states: tuple[State, ...] = ()
    if form in ("before", "only-after"):
        one, two = _pattern(parts[0]), _pattern(parts[1])
        fields = {"first": one, "then": two} if form == "before" else {"first": two, "then": one}
        fields["undone_by"] = _events(parts[2])
    elif form == "never":
        fields = {"then": _pattern(parts[0]), "first": _pattern(parts[1]), "undone_by": _events(parts[2])}
        form = "never-after" if parts[1] is not None else "never"
    elif form == "while":
        line = Item(item.form, Line(node.form, (parts[1],)), item.line)
        states = tuple(conditions(desk, symbols, file, line, "", free))
        fields, form = {"then": _pattern(parts[0])}, "never-while"
    elif form == "once":
        fields = {"first": _pattern(parts[0])}
    else:
        fields = {"answer": _pattern(parts[0]), "first": _pattern(parts[1]), "then": _pattern(parts[2])}
    reason, basis = first(item, "because"), first(item, "basis")
    return HouseRule.make(
        text=str(part(item, 0)),
        form=form,
        **({"first": NOTHING, "then": NOTHING} | fields),
        states=states,
        because=str(part(reason, 0)) if reason else "",
        basis=str(part(basis, 0)) if basis else "",
        where=item.span(file.source),
    )


def _events(value: object) -> tuple[tuple[str, str], ...]:
    found = []
    for event in value if isinstance(value, tuple) else ():
        if isinstance(event, Event):
            found.append((f"{event.name} of {event.of}" if event.of else str(event.name), str(event.what)))
    return tuple(found)


def _pattern(value: object) -> tuple[str, str]:
    words = [str(w) for w in value if w is not None] if isinstance(value, tuple) else []
    return (words[0], words[1] if len(words) > 1 else "") if words else NOTHING
