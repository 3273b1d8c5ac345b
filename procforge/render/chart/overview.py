"""The overview of a chart cut into pages: one symbol a page, or a run of pages when there are many."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.render.chart.pages import Page
from procforge.sheet.chart import Chart, ChartEdge, ChartNode, EdgeKind, NodeKind

_FLOW = (EdgeKind.FLOW, EdgeKind.BACK)


def overview(chart: Chart, pages: Sequence[Page], most: int) -> Chart:
    """How the pages follow each other, in at most `most` symbols; `ref` of each is the chart it stands for."""
    count = max(1, most - 2)
    run = -(-len(pages) // count)
    runs = [pages[at : at + run] for at in range(0, len(pages), run)]
    home = {ident: number for number, part in enumerate(runs) for page in part for ident in page.ids}
    nodes = [_node(chart, number, number * run + 1, part) for number, part in enumerate(runs)]
    answers: dict[tuple[int, int, EdgeKind], list[str]] = {}
    for edge in chart.edges:
        here, there = home[edge.source], home[edge.target]
        if here != there:
            kind = edge.kind if edge.kind not in _FLOW else EdgeKind.BACK if there < here else EdgeKind.FLOW
            answers.setdefault((here, there, kind), []).append(edge.label)
    gravest = {(here, there): kind for here, there, kind in sorted(answers, key=_rank, reverse=True)}
    longer = _longer({(here, there) for here, there, kind in answers if kind not in _FLOW})
    edges = [
        _edge(key, said, answers)
        for key, said in answers.items()
        # of several dependencies between two pages one is enough, and none if a longer way says as much
        if key[2] in _FLOW or (gravest[key[:2]] == key[2] and key[:2] not in longer)
    ]
    first = [node for node in chart.nodes if node.kind == NodeKind.START][:1]
    last = [node for node in chart.nodes if node.kind == NodeKind.END]
    if first:
        nodes.insert(0, ChartNode("start", NodeKind.START, first[0].title))
        edges.insert(0, ChartEdge("start", str(home[first[0].id])))
    if last:
        nodes.append(ChartNode("end", NodeKind.END, last[0].title))
        ways = {(edge.source, edge.target) for edge in edges}
        reached = _reached(str(home[first[0].id]), ways) if first else {node.id for node in nodes}
        homes = sorted({home[node.id] for node in last})
        edges += [ChartEdge(str(number), "end") for number in homes if str(number) in reached]
    return Chart(f"{chart.title}: overview", tuple(nodes), tuple(edges), (), chart.legend)


def _rank(key: tuple[int, int, EdgeKind]) -> int:
    return list(EdgeKind).index(key[2])


def _longer(ways: set[tuple[int, int]]) -> set[tuple[int, int]]:
    """The ways between two pages that lead over others too."""
    on: dict[int, set[int]] = {}
    for here, there in ways:
        on.setdefault(here, set()).add(there)
    beyond: dict[int, set[int]] = {}
    for here in sorted(on, reverse=True):
        beyond[here] = on[here].union(*(beyond.get(next_, set()) for next_ in on[here] if next_ > here))
    return {
        (here, there)
        for here, there in ways
        if any(there in beyond.get(n, set()) for n in on[here] if here < n != there)
    }


def _reached(start: str, ways: set[tuple[str, str]]) -> set[str]:
    """The symbols that ways lead to from the start; the chart of a called block is not one of them."""
    found, more = {start}, [start]
    while more:
        at = more.pop()
        new = {target for source, target in ways if source == at} - found
        found |= new
        more += new
    return found


def _node(chart: Chart, number: int, first: int, part: Sequence[Page]) -> ChartNode:
    ids = frozenset().union(*(page.ids for page in part))
    holds = [node.ref for node in chart.nodes if node.kind == NodeKind.HOLD and node.ref and node.id in ids]
    held = f" (hold{'s' * (len(holds) > 1)}\u00a0{', '.join(holds)})" if holds else ""
    if len(part) == 1:
        return ChartNode(str(number), NodeKind.CALL, part[0].title + part[0].part + held, f"Chart {first}:")
    title = part[0].title if part[0].title == part[-1].title else f"{part[0].title} to {part[-1].title}"
    return ChartNode(str(number), NodeKind.CALL, title + held, f"Charts {first} to {first + len(part) - 1}:")


def _edge(
    key: tuple[int, int, EdgeKind], said: list[str], answers: dict[tuple[int, int, EdgeKind], list[str]]
) -> ChartEdge:
    """An arrow between pages; it carries its answer if there is but one and the page has other ways out."""
    here, there, kind = key
    forks = sum(1 for source, _, other in answers if source == here and other in _FLOW) > 1
    label = said[0] if forks and len(set(said)) == 1 else ""
    return ChartEdge(str(here), str(there), label, kind)
