"""One page of a chart cut into pages: its own symbols, and connectors for the arrows that cross."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, NodeKind

_FLOW = (EdgeKind.FLOW, EdgeKind.BACK)


@dataclass(frozen=True, slots=True)
class Page:
    """What stands on a page: its section, which part of it (may be empty), and the ids of its nodes."""

    title: str
    part: str
    ids: frozenset[str]


def page_charts(chart: Chart, pages: Sequence[Page]) -> tuple[Chart, ...]:
    """Each page as a chart, numbered from 1 in its title.

    An arrow of the flow that crosses runs to a connector with the letter of its target, and that target is
    entered from the same letter on its own page. A dependency that crosses comes from a connector with the
    number of the step needed, on the page of the step that needs it.
    """
    home = {ident: number for number, page in enumerate(pages, 1) for ident in page.ids}
    letters = _letters(chart, home)
    nodes: list[list[ChartNode]] = [[] for _ in pages]
    edges: list[list[ChartEdge]] = [[] for _ in pages]
    came_from: dict[str, set[int]] = {}
    for edge in chart.edges:
        if edge.kind in _FLOW and home[edge.source] != home[edge.target]:
            came_from.setdefault(edge.target, set()).add(home[edge.source])
    for node in chart.nodes:
        number = home[node.id]
        if node.id in came_from:
            entry = ChartNode(
                f"in {node.id}", NodeKind.CONNECTOR, letters[node.id], _charts("from", came_from[node.id])
            )
            nodes[number - 1].append(entry)
            edges[number - 1].append(ChartEdge(entry.id, node.id))
        nodes[number - 1].append(node)
    by_id = {node.id: node for node in chart.nodes}
    made: set[tuple[int, str]] = set()
    for edge in chart.edges:
        here, there = home[edge.source], home[edge.target]
        if here == there:
            edges[here - 1].append(edge)
        elif edge.kind in _FLOW:
            ident = f"out {edge.target}"
            exit_ = ChartNode(ident, NodeKind.CONNECTOR, letters[edge.target], _charts("to", {there}))
            _once(made, here, exit_, nodes[here - 1])
            edges[here - 1].append(ChartEdge(edge.source, ident, edge.label))
        else:
            source = by_id[edge.source]
            ghost = ChartNode(f"from {source.id}", NodeKind.ELSEWHERE, f"chart\u00a0{here}", source.ref or source.title)
            _once(made, there, ghost, nodes[there - 1])
            edges[there - 1].append(ChartEdge(ghost.id, edge.target, edge.label, edge.kind))
    return tuple(
        Chart(
            f"Chart {at + 1}: {page.title}{page.part}",
            tuple(nodes[at]),
            tuple(edges[at]),
            _groups(chart, page),
            chart.legend,
        )
        for at, page in enumerate(pages)
    )


def arrows(chart: Chart) -> list[list[tuple[int, int]]]:
    """For each node's position its arrows as (position of the other end, mark of the connector if that is away).

    As many connectors stand on a page as there are different marks among the arrows that leave it: 2 n + 1 for
    the way to node n, 2 n for the way into node n, -n - 1 for a dependency on node n.
    """
    order = {node.id: at for at, node in enumerate(chart.nodes)}
    around: list[list[tuple[int, int]]] = [[] for _ in chart.nodes]
    for edge in chart.edges:
        source, target = order[edge.source], order[edge.target]
        if edge.kind in _FLOW:
            around[source].append((target, 2 * target + 1))
            around[target].append((source, 2 * target))
        else:
            around[target].append((source, -source - 1))
    return around


def _once(made: set[tuple[int, str]], page: int, node: ChartNode, nodes: list[ChartNode]) -> None:
    if (page, node.id) not in made:
        made.add((page, node.id))
        nodes.append(node)


def _letters(chart: Chart, home: dict[str, int]) -> dict[str, str]:
    """A letter for each node that another page's flow goes to, in the written order: A to Z, AA, AB and on."""
    entered = {e.target for e in chart.edges if e.kind in _FLOW and home[e.source] != home[e.target]}
    letters: dict[str, str] = {}
    for node in chart.nodes:
        if node.id in entered:
            number, letter = len(letters) + 1, ""
            while number:
                number, digit = divmod(number - 1, 26)
                letter = chr(65 + digit) + letter
            letters[node.id] = letter
    return letters


def _charts(word: str, numbers: set[int]) -> str:
    return f"{word} chart{'s' if len(numbers) > 1 else ''} {', '.join(map(str, sorted(numbers)))}"


def _groups(chart: Chart, page: Page) -> tuple[ChartGroup, ...]:
    """The frames that hold something of this page; a section is the page itself, so it needs no frame."""
    parents = {group.id: group.parent for group in chart.groups}
    kept: set[str] = set()
    for group in chart.groups:
        if page.ids.intersection(group.members):
            at = group.id
            while at and at not in kept:
                kept.add(at)
                at = parents[at]
    sections = {group.id for group in chart.groups if group.kind == "section"}

    def outer(ident: str) -> str:
        while ident in sections:
            ident = parents[ident]
        return ident

    return tuple(
        ChartGroup(g.id, g.kind, g.title, tuple(m for m in g.members if m in page.ids), outer(g.parent))
        for g in chart.groups
        if g.id in kept - sections
    )
