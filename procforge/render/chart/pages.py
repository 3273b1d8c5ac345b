"""One page of a chart cut into pages: its own symbols, and connectors for the arrows that cross."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, NodeKind

TOGETHER = " + "  # between the ids of steps that share a symbol
_MOST_APART = 6  # charts whose steps have symbols of their own though they have the same arrows
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
    entered from the same letter on its own page. A dependency that crosses comes from a symbol with the
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
    made: set[tuple[int, str]] = set()
    needed: list[dict[str, list[ChartEdge]]] = [{} for _ in pages]
    for edge in chart.edges:
        here, there = home[edge.source], home[edge.target]
        if here == there:
            edges[here - 1].append(edge)
        elif edge.kind in _FLOW:
            ident = f"out {edge.target}"
            exit_ = ChartNode(ident, NodeKind.CONNECTOR, letters[edge.target], _charts("to", {there}))
            if (here, ident) not in made:
                made.add((here, ident))
                nodes[here - 1].append(exit_)
            edges[here - 1].append(ChartEdge(edge.source, ident, edge.label))
        else:
            needed[there - 1].setdefault(edge.source, []).append(edge)
    by_id = {node.id: node for node in chart.nodes}
    for at, sources in enumerate(needed):
        for ghost, ways in _elsewhere(sources, by_id, home):
            nodes[at].append(ghost)
            edges[at] += [ChartEdge(ghost.id, way.target, way.label, way.kind) for way in ways]
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
    the way to node n, 2 n for the way into node n, -n - 1 for what node n depends on (about: see `_elsewhere`).
    """
    order = {node.id: at for at, node in enumerate(chart.nodes)}
    around: list[list[tuple[int, int]]] = [[] for _ in chart.nodes]
    for edge in chart.edges:
        source, target = order[edge.source], order[edge.target]
        if edge.kind in _FLOW:
            around[source].append((target, 2 * target + 1))
            around[target].append((source, 2 * target))
        else:
            around[target].append((source, -target - 1))
    return around


def _elsewhere(
    sources: dict[str, list[ChartEdge]], by_id: dict[str, ChartNode], home: dict[str, int]
) -> list[tuple[ChartNode, list[ChartEdge]]]:
    """Symbols for steps of other charts with their arrows; steps of one chart with the same arrows share a symbol.

    So do steps of many charts.
    """
    alike: dict[tuple[int, tuple[tuple[str, EdgeKind, str], ...]], list[str]] = {}
    for source, ways in sources.items():
        alike.setdefault((home[source], tuple((w.target, w.kind, w.label) for w in ways)), []).append(source)
    several: dict[tuple[tuple[str, EdgeKind, str], ...], list[int]] = {}
    for chart, like in alike:
        several.setdefault(like, []).append(chart)
    found, done = [], set()
    for (chart, like), together in alike.items():
        place = f"chart\u00a0{chart}"
        if len(several[like]) > _MOST_APART:
            if like in done:
                continue
            done.add(like)
            together = [one for number in several[like] for one in alike[number, like]]
            place = "on other charts"
        numbers = ", ".join(by_id[one].ref or by_id[one].title for one in together)
        ghost = ChartNode("from " + TOGETHER.join(together), NodeKind.ELSEWHERE, place, numbers)
        found.append((ghost, sources[together[0]]))
    return found


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
