"""The head of a procedure: number, revision, people, what must hold before, hazards, facts, house rules."""

from __future__ import annotations

from typing import Any

from procforge.model.equipment import State
from procforge.model.procedure import Crew, Hazard, Ref, Signature
from procforge.resolve.desk import Desk, every, first, part
from procforge.resolve.house import house_rules
from procforge.resolve.machine import conditions
from procforge.resolve.symbols import Definition, Symbols
from procforge.syntax.nodes import File, Item, Line, Named, Qty, Word


class Home:
    """A file as `conditions` wants it: something with a source."""

    def __init__(self, file: File) -> None:
        self.source = file.source


def head_of(
    desk: Desk, symbols: Symbols, file: File, all_files: list[File], machine_names: tuple[str, ...]
) -> dict[str, Any]:
    """The fields of a Procedure that its head gives."""
    source = file.source
    fields: dict[str, Any] = {"file": source.path, "where": _start(file)}
    signatures: list[Signature] = []
    references: list[tuple[str, str]] = []
    qualified: list[tuple[str, str]] = []
    qualified_at: list[tuple[Item, Any]] = []
    crew: list[Crew] = []
    starts: list[State] = []
    leaves: list[State] = []
    tasks: list[str] = []
    leave_alone: list[tuple[str, str]] = []
    due: list[Any] = []
    seen: dict[str, Item] = {}
    for item in file.items:
        form = item.form
        if not isinstance(item.node, Line):
            continue
        if form in ("procedure", "revision", "applies", "status", "before_starting", "closing_out", "purpose"):
            if form in seen:
                desk.fault(
                    "said-twice",
                    item.span(source),
                    f"this stands on line {seen[form].line} already",
                    "keep one of them",
                )
                continue
            seen[form] = item
        if form == "procedure":
            fields |= {"number": str(part(item, 0)), "title": str(part(item, 1)), "where": item.span(source)}
        elif form == "revision":
            fields |= {
                "revision": str(part(item, 0)),
                "revision_date": str(part(item, 1) or ""),
                "revision_text": str(part(item, 2) or ""),
            }
        elif form == "applies":
            names = part(item, 0)
            fields |= {
                "applies": desk.scope(source, item, names if isinstance(names, tuple) else None),
                "applies_where": item.span(source),
            }
        elif form == "status":
            fields["status"] = str(part(item, 0))
        elif form == "purpose":
            fields["purpose"] = " ".join([str(part(item, 0)), *(str(w) for _, w in item.prose)])
        elif form == "crew":
            for pair in item.node.parts:
                if isinstance(pair, tuple):
                    number, role = pair
                    count = desk.count(source, item, number)
                    crew.append(Crew.make(role=str(role), count=count, where=item.span(source, role)))
        elif form == "signed":
            signatures.append(
                Signature.make(
                    part=str(part(item, 0)),
                    name=str(part(item, 1)),
                    date=str(part(item, 2) or ""),
                    where=item.span(source),
                )
            )
        elif form == "reference":
            references.append((str(part(item, 0)), str(part(item, 1) or "")))
        elif form == "qualified":
            qualified.append((str(part(item, 0)), str(part(item, 1))))
            qualified_at.append((item, item.node.parts[0]))
        elif form == "due":
            due += [desk.amount(source, item, q, "time", "calendar") for q in item.node.parts if isinstance(q, Qty)]
        elif form == "starts":
            starts += conditions(desk, symbols, Home(file), item, "", machine_names)
        elif form == "leaves":
            leaves += conditions(desk, symbols, Home(file), item, "", machine_names)
        elif form == "leave":
            listed = part(item, 0)
            leave_alone += [(str(w), str(part(item, 1) or "")) for w in listed] if isinstance(listed, tuple) else []
        elif form == "closing_out":
            tasks += [str(part(p, 0)) for p in every(item, "task")] + [str(w) for _, w in item.prose]
        elif form == "before_starting":
            fields |= _before(desk, source, item)
    roles = [c.role for c in crew]
    for item, word in qualified_at if roles and not file.holes else ():
        if word not in roles:
            declare = f"add it to the crew: crew …, 1 {word}"
            desk.unknown(item.span(source, word), "role of the crew", word, roles, declare, False)
    fields |= {
        "signatures": tuple(signatures), "references": tuple(references), "qualified": tuple(qualified), "crew": tuple(crew),
        "starts": tuple(starts), "leaves": tuple(leaves), "tasks": tuple(tasks), "leave_alone": tuple(leave_alone),
        "due": tuple(d for d in due if d is not None),
        "hazards": tuple(_hazard(d) for d in symbols.hazards.values()),
    }  # fmt: skip
    return fields | house_rules(desk, symbols, all_files, machine_names)


def _start(file: File) -> Any:
    item = file.items[0] if file.items else None
    return item.span(file.source) if item else _nowhere(file)


def _nowhere(file: File) -> Any:
    from procforge.text import Span

    return Span(file.source, 1)


def _before(desk: Desk, source: Any, item: Item) -> dict[str, Any]:
    wear: list[Ref] = []
    titles: dict[str, str] = {}
    for line in every(item, "wear"):
        for named in line.node.parts if isinstance(line.node, Line) else ():
            assert isinstance(named, Named)
            wear.append(Ref.make(name=str(named.name), where=line.span(source, named.name)))
            titles[str(named.name)] = str(named.title or str(named.name).replace("-", " "))
    nothing = part(item, 0) is not None
    conditions_ = tuple(str(part(p, 0)) for p in every(item, "precondition"))
    permits = tuple(str(part(p, 0)) for p in every(item, "permit"))
    if nothing and (wear or conditions_ or permits):
        desk.fault(
            "said-twice",
            item.span(source),
            "`before starting none` lists something all the same",
            "take `none` off, or the lines under it",
        )
    if not nothing and not (wear or conditions_ or permits):
        desk.fault(
            "nothing-before-starting",
            item.span(source),
            "`before starting` lists nothing",
            "list conditions, permits and wear, or write `before starting none`",
        )
    return {
        "before_starting": True, "nothing_before": nothing, "conditions": conditions_,
        "permits": permits, "wear": tuple(wear), "wear_titles": titles,
    }  # fmt: skip


def _hazard(definition: Definition) -> Hazard:
    item, source = definition.item, definition.source
    severity = first(item, "severity")
    harm = part(severity, 1) if severity else None
    wear = []
    for line in every(item, "wear"):
        listed = line.node.parts if isinstance(line.node, Line) else ()
        wear += [Ref.make(name=str(n.name), where=line.span(source, n.name)) for n in listed if isinstance(n, Named)]
    avoid = every(item, "avoid")
    where = first(item, "harm_where")
    return Hazard.make(
        name=definition.name,
        title=definition.title,
        severity=str(part(severity, 0)) if severity else "",
        harm=tuple(str(h) for h in harm) if isinstance(harm, tuple) else (),
        text=tuple(str(w) for _, w in item.prose),
        text_where=tuple(_prose_span(source, line, w) for line, w in item.prose),
        avoid=tuple(str(part(a, 0)) for a in avoid),
        avoid_where=tuple(a.span(source, part(a, 0)) for a in avoid),  # type: ignore[arg-type]
        wear=tuple(wear),
        place=str(part(where, 0)) if where else "",
        where=definition.where,
    )


def _prose_span(source: Any, line: int, word: Word) -> Any:
    from procforge.text import Span

    return Span(source, line + word.row, word.column, word.width)
