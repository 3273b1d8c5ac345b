"""Files to a Procedure: the machine, the head, the work; called procedures resolved with it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from procforge.findings import Finding, Mark, Outcome
from procforge.model.equipment import Equipment
from procforge.model.procedure import Hole, Procedure
from procforge.resolve.desk import Desk, part
from procforge.resolve.equipment import equipment_of, stem
from procforge.resolve.head import head_of
from procforge.resolve.load import Library
from procforge.resolve.refs import References, Scene
from procforge.resolve.work import Works
from procforge.syntax.nodes import File, Item, Unread
from procforge.text import Span

#: Findings of files that nobody could look into.
_UNSEEN = ("file-not-found", "unreadable-file")


def resolve(library: Library, path: Path, chain: tuple[Path, ...] = ()) -> Outcome[Procedure]:
    """The procedure in a file, with all findings of reading it and what it uses; raises OSError if it can't be read."""
    bundle = library.bundle(path)
    files = bundle.value
    desk = Desk()
    desk.blind = _blind(bundle) or not any(i.form == "equipment" for f in files for i in f.items)
    equipment, symbols = equipment_of(desk, files)
    file = files[-1]
    machine_names = _machine_names(equipment)
    head = head_of(desk, symbols, file, files, machine_names)
    roles = {c.role for c in head["crew"]} | {name for name, _ in head["qualified"]}
    refs = References(desk, symbols, roles, {f.name: f.title for f in head["facts"]})
    blocks = {name: i for i in _all_blocks(file.items) if (name := _block_name(i))}
    _defined_once(desk, file)
    works = Works(refs, blocks)
    body = works.body(Scene(file.source), file.items)
    if works.cut:
        body = ()  # what was cut off would show up as things forgotten
    body = (*(Hole.make(where=f.span, words=("use",)) for f in bundle.findings if f.rule in _UNSEEN), *body)
    if not equipment.name and any(f.holes for f in files[:-1]):
        body = (Hole.make(where=head["where"], words=("use",)), *body)  # the machine may stand in what was not read
    callees = _callees(library, path, (*chain, path), desk, works)
    procedure = Procedure.make(
        **head, equipment=equipment, body=body, partial=_partial(files), doubtful=tuple(sorted(desk.doubtful)), holes=sum(len(f.holes) for f in files) + works.holes + desk.blind, used=tuple(sorted(refs.used)),
        blocks={name: works.cut or name in works.called for name in blocks}, callees=callees, machine_names=machine_names,
    )  # fmt: skip
    return Outcome(procedure, bundle.findings + tuple(dict.fromkeys(desk.findings)))


def resolve_equipment(library: Library, path: Path) -> Outcome[Equipment]:
    """The machine in a file that is no procedure."""
    bundle = library.bundle(path)
    desk = Desk()
    desk.blind = _blind(bundle)
    equipment, _ = equipment_of(desk, bundle.value)
    return Outcome(equipment, bundle.findings + tuple(desk.findings))


def _partial(files: list[File]) -> tuple[Span, ...]:
    """The statements with a line under them that could not be read."""
    found: list[Span] = []
    for file in files:
        waiting = list(file.items) if file.holes else []
        while waiting:
            item = waiting.pop()
            if item.partial:
                found.append(item.span(file.source))
            waiting += [i for arm in item.arms for i in (arm.head, *arm.body) if i is not item]
    return tuple(found)


def _blind(bundle: Outcome[list[File]]) -> bool:
    """Whether a file is missing among those used, is no text, or is named in a line that can't be read."""
    broken = any(isinstance(h.node, Unread) and h.node.opener == "use" for f in bundle.value for h in f.holes)
    return broken or any(f.rule in _UNSEEN for f in bundle.findings)


def is_procedure(file: File) -> bool:
    """Whether a file holds a procedure: by its name, or by a `procedure` line."""
    return file.source.path.endswith(".proc") or any(i.form == "procedure" for i in file.items)


def _machine_names(equipment: Equipment) -> tuple[str, ...]:
    """What `shut-down` and `start` may call the machine."""
    drivers = [n for n, i in equipment.items.items() if i.kind in ("driver", "motion")]
    return tuple(filter(None, (equipment.name, stem(equipment), *drivers)))


def _all_blocks(items: list[Item]) -> list[Item]:
    found = []
    for item in items:
        if item.form == "block" or (isinstance(item.node, Unread) and item.node.opener == "block"):
            found.append(item)
        for arm in item.arms:
            found += _all_blocks(arm.body)
    return found


def _defined_once(desk: Desk, file: File) -> None:
    """Blocks, facts, holds: each name is one thing. A hold may stand on several ways, with the same words."""
    seen: dict[tuple[str, str], Item] = {}
    for item in _all_items(file.items):
        if item.form not in ("block", "fact", "hold"):
            continue
        word: Any = part(item, 1 if item.form == "hold" else 0)
        earlier = seen.setdefault((item.form, str(word)), item)
        if earlier is not item and not (item.form == "hold" and part(earlier, 2) == part(item, 2)):
            mark = Mark(earlier.span(file.source), "defined first here")
            message = f"`{word}` is defined twice"
            desk.fault(
                "defined-twice", item.span(file.source, word), message, "give the second one a name of its own", (mark,)
            )


def _all_items(items: list[Item]) -> Iterator[Item]:
    for item in items:
        yield item
        for arm in item.arms:
            yield from _all_items(arm.body)


def _block_name(item: Item) -> str:
    """The name of a block, of one too whose line could not be read."""
    if isinstance(item.node, Unread):
        return item.node.words[1] if len(item.node.words) > 1 else ""
    return str(part(item, 0))


def _callees(library: Library, path: Path, chain: tuple[Path, ...], desk: Desk, works: Works) -> dict[str, Procedure]:
    found: dict[str, Procedure] = {}
    for name, item, scene in works.calls:
        word: Any = part(item, 0)
        span = item.span(scene.source, word)
        target = path.parent / name
        if any(target.resolve() == p.resolve() for p in chain):
            names = " -> ".join(p.name for p in (*chain, target))
            desk.fault("calls-in-a-circle", span, f"the procedure calls itself: {names}", "take this `do` out")
            continue
        if name in found:
            continue
        try:
            outcome = _called(library, target, chain)
        except OSError:
            desk.fault(
                "file-not-found",
                span,
                f"`{target.as_posix()}` is called, but there is no such file",
                "mend the path; it is relative to this file",
            )
            continue
        circle = next((f for f in outcome.findings if f.rule == "calls-in-a-circle"), None)
        if circle is not None:
            marks = (Mark(circle.span, "and on from here"),)
            desk.fault("calls-in-a-circle", span, circle.message, "take one of the calls out", marks)
        elif any(f.severity >= 3 for f in outcome.findings):
            desk.fault(
                "called-procedure-faulty",
                span,
                f"`{name}` has errors of its own",
                f"mend it first: procforge check {name}",
                _first(outcome.findings),
            )
        else:
            found[name] = outcome.value
    return found


def _called(library: Library, target: Path, chain: tuple[Path, ...]) -> Outcome[Procedure]:
    """A called procedure, resolved once however many ways lead to it."""
    key = os.path.normpath(target)
    if key not in library.called:
        library.called[key] = resolve(library, target, chain)
    outcome: Outcome[Procedure] = library.called[key]
    return outcome


def _first(findings: tuple[Finding, ...]) -> tuple[Mark, ...]:
    worst = next((f for f in findings if f.severity >= 3), None)
    return (Mark(worst.span, worst.message),) if worst and isinstance(worst.span, Span) else ()
