"""The dependency chart of a procedure: what must come before what, whatever order the sheet gives.

Drawn from the dependencies of one variant, steps in the frame of their section, a called block or a repeat as one
symbol. Left out: stops, which only end a path, and work that nothing but holds, waits and stops keeps in place, such
as cleaning and counting. Then what a longer way implies is dropped. Kinds of arrow stand in the key.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.depends import Dependencies, Edge, Relation, dependencies, reduced
from procforge.analysis.machine import Machine
from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Ask, Group, Hold, Mark, Measure, Procedure, Repeat
from procforge.model.tree import bodies
from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, GroupKind, NodeKind
from procforge.sheet.flow import title
from procforge.sheet.naming import Names
from procforge.sheet.numbering import numbers, sections, span, walk_shown
from procforge.sheet.short import short

_KINDS = {
    Relation.NEEDS: EdgeKind.NEEDS,
    Relation.ONE_OF: EdgeKind.ONE_OF,
    Relation.UNDOES: EdgeKind.AFTER,
    Relation.SETS: EdgeKind.SAME,
    Relation.GUARDS: EdgeKind.GUARDS,
}


def dependency_chart(procedure: Procedure, machine: Machine, depends: Dependencies | None = None) -> Chart:
    """The chart of the dependencies of the work on one variant's machine; `depends` if they are known already."""
    variant = machine.variant
    depends = depends or dependencies(procedure, machine)
    ref = numbers(procedure, variant)
    names = Names(machine)
    symbols = _symbols(procedure, depends)
    edges = drawn(depends, symbols)
    kept = sorted({end for edge in edges for end in (edge.source, edge.target)})
    home = {id(work): section for section in sections(procedure, variant) for work in walk_shown(section.body, variant)}
    nodes: list[ChartNode] = []
    ids: dict[int, str] = {}
    members: dict[int, list[str]] = {}
    titles: dict[int, str] = {}
    for number in kept:
        work = symbols[number]
        ids[number] = work.id or f"{work.kind}-{number}"
        nodes.append(_node(ids[number], work, names, ref, variant))
        section = home[id(work)]
        members.setdefault(section.number, []).append(ids[number])
        titles[section.number] = section.title or f"Section {section.number}"
    groups = tuple(ChartGroup(f"section-{n}", GroupKind.SECTION, titles[n], tuple(m)) for n, m in members.items())
    arrows = tuple(ChartEdge(ids[e.source], ids[e.target], "", _KINDS[e.relation]) for e in edges)
    return Chart(f"What must come before what: {title(procedure, variant)}", tuple(nodes), arrows, groups)


def drawn(depends: Dependencies, symbols: dict[int, AnyWork]) -> tuple[Edge, ...]:
    """The reduced edges between symbols; a symbol has the number of its first unit, `symbols` holds its statement."""
    at, here = [], 0
    for unit in depends.units:
        here = unit.number if unit.number in symbols else here
        at.append(here)
    merged: dict[tuple[int, int], Edge] = {}
    for edge in depends.binding:
        source, target = at[edge.source], at[edge.target]
        known = merged.get((source, target))
        if source != target and (known is None or _rank(edge) < _rank(known)):
            merged[source, target] = Edge(source, target, edge.relation, edge.facts)
    held = {e for edge in merged.values() if edge.relation != Relation.GUARDS for e in (edge.source, edge.target)}
    shown = {n for n, work in symbols.items() if _stands(work) or n in held}
    shown -= {n for n, work in symbols.items() if isinstance(work, Mark) and work.form == "stop"}
    return reduced(len(depends.units), [e for e in merged.values() if e.source in shown and e.target in shown])


def _rank(edge: Edge) -> int:
    return tuple(Relation).index(edge.relation)


def _stands(work: AnyWork) -> bool:
    """What keeps others in order is drawn even if it touches no fact."""
    return isinstance(work, Hold | Mark)


def _symbols(procedure: Procedure, depends: Dependencies) -> dict[int, AnyWork]:
    """Each symbol's statement by the number of its first unit: a called block, or a unit outside of one."""
    block_of = {id(inner): group for group, inner in _called(procedure.body)}
    found: dict[int, AnyWork] = {}
    last: AnyWork | None = None
    for unit in depends.units:
        work = block_of.get(id(unit.work), unit.work)
        if work is not last:
            found[unit.number] = last = work
    return found


def _called(body: tuple[AnyWork, ...], group: Group | None = None) -> Iterator[tuple[Group, AnyWork]]:
    """Every statement in a called block, with the outermost block it stands in."""
    for work in body:
        around = group or (work if isinstance(work, Group) and work.form == "called" else None)
        if around is not None:
            yield around, work
        for inner in bodies(work):
            yield from _called(inner, around)


def _node(ident: str, work: AnyWork, names: Names, ref: dict[str, str], variant: Variant) -> ChartNode:
    number = span(ref, (work,), variant) if isinstance(work, Repeat | Group) else ref.get(work.id, "")
    match work:
        case Hold():
            kind = NodeKind.HOLD if work.point == "hold" else NodeKind.WITNESS
            return ChartNode(ident, kind, work.text.rstrip("."), number)
        case Ask():
            return ChartNode(ident, NodeKind.DECISION, work.text, number)
        case Group(form="either"):
            return ChartNode(ident, NodeKind.DECISION, "Free choice", number)
        case Measure():
            return ChartNode(ident, NodeKind.READING, short(work, names), number)
    kind = NodeKind.CALL if isinstance(work, Repeat | Group) or work.kind == "call" else NodeKind.STEP
    return ChartNode(ident, kind, short(work, names), number)
