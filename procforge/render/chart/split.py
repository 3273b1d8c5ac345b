"""Cuts a long chart into pages that each print large enough, joined by connectors, with an overview."""

from __future__ import annotations

from dataclasses import dataclass

from procforge.render.chart.overview import overview
from procforge.render.chart.pages import Page, page_chart
from procforge.sheet.chart import Chart, ChartBook, EdgeKind, GroupKind, NodeKind

MOST_NODES = 20
# The cost of a cut, in points of one measure: a page more, a connector more than the one that any cut needs,
# an arrow back that jumps pages, a frame (lanes, repeat, any order) cut in two. Small integers, so no rounding.
_PAGE, _CONNECTOR, _BACK, _FRAME = 40, 60, 90, 60


@dataclass(frozen=True, slots=True)
class _Cuts:
    """What a cut before each position costs, and how many connectors it brings to the pages it parts."""

    cost: list[int]
    entries: list[int]


def split(chart: Chart, max_nodes: int = MOST_NODES) -> ChartBook:
    """The chart as a book of charts of at most `max_nodes` symbols each, connectors counted; the same on every run.

    A chart that is short enough, or cannot be cut, stays whole, without an overview. Else a section begins a new
    chart, and a long section is cut in the written order, best where one arrow alone goes on. Where more arrows
    cross, each place gone to gets a letter of its own. A page is over `max_nodes` only where its connectors alone
    would be too many. No arrow is lost: a crossing arrow runs to a connector on its own chart and from one of the
    same letter on the next.
    """
    if max_nodes < 4:
        raise ValueError("a chart needs room for 4 symbols at least")
    if len(chart.nodes) <= max_nodes:
        return ChartBook(None, (chart,))
    starts = _section_starts(chart)
    cuts = _weigh(chart)
    pages: list[Page] = []
    for (begin, title), end in zip(starts, [at for at, _ in starts[1:]] + [len(chart.nodes)], strict=True):
        bounds = _best(cuts, begin, end, max_nodes)
        parts = list(zip(bounds, bounds[1:], strict=False))
        for part, (low, high) in enumerate(parts, 1):
            name = f"{title} ({part} of {len(parts)})" if len(parts) > 1 else title
            pages.append(Page(name, frozenset(node.id for node in chart.nodes[low:high])))
    if len(pages) == 1:
        return ChartBook(None, (chart,))
    charts = tuple(page_chart(chart, pages, number) for number in range(len(pages)))
    return ChartBook(overview(chart, pages, max_nodes), charts)


def _section_starts(chart: Chart) -> list[tuple[int, str]]:
    """(position, title) of each run of nodes that becomes a set of pages of its own; the first is at 0.

    Nodes outside a section, such as the start and the end, go with the section beside them.
    """
    top = {group.id: group for group in chart.groups if group.kind == GroupKind.SECTION}
    parent = {group.id: group.parent for group in chart.groups}
    inside = {member: group.id for group in chart.groups for member in group.members}

    def section(ident: str) -> str:
        at = inside.get(ident, "")
        while at and at not in top:
            at = parent[at]
        return at

    starts: list[tuple[int, str]] = []
    last = ""
    for position, node in enumerate(chart.nodes):
        here = section(node.id)
        if here and here != last:
            starts.append((position if starts else 0, top[here].title))
            last = here
    return starts or [(0, chart.title)]


def _weigh(chart: Chart) -> _Cuts:
    order = {node.id: at for at, node in enumerate(chart.nodes)}
    size = len(chart.nodes) + 1
    back, frames = [0] * size, [0] * size
    reaches: dict[int, int] = {}  # target -> its earliest source: cuts between them need a connector for it
    for edge in chart.edges:
        low, high = sorted((order[edge.source], order[edge.target]))
        if edge.kind == EdgeKind.BACK or order[edge.target] <= order[edge.source]:
            back[low + 1] += 1
            back[min(high + 1, size - 1)] -= 1
        else:
            reaches[high] = min(low, reaches.get(high, low))
    for group in chart.groups:
        if group.members and group.kind != GroupKind.SECTION:
            places = [order[member] for member in group.members]
            frames[min(places) + 1] += 1
            frames[max(places) + 1] -= 1
    crossing = [0] * size
    for target, source in reaches.items():
        crossing[source + 1] += 1
        crossing[target + 1 if target + 1 < size else target] -= 1
    cost, entries = [0] * size, [0] * size
    one = two = three = 0
    for at in range(size):
        one, two, three = one + crossing[at], two + back[at], three + frames[at]
        entries[at] = one + two
        cost[at] = max(0, one - 1) * _CONNECTOR + two * _BACK + three * _FRAME
        if 0 < at < size - 1 and chart.nodes[at - 1].kind in (NodeKind.DECISION, NodeKind.FORK):
            cost[at] += _FRAME  # a decision and its answers are read together
    return _Cuts(cost, entries)


def _best(cuts: _Cuts, begin: int, end: int, most: int) -> list[int]:
    """Positions begin..end at which to cut, cheapest in all; of equal ones the evenest."""
    least: dict[int, tuple[int, int]] = {begin: (0, begin)}
    for at in range(begin + 1, end + 1):
        tried: list[tuple[int, int]] = []
        for low in range(max(begin, at - most), at):
            extra = (cuts.entries[low] if low else 0) + cuts.entries[at]
            over = max(0, at - low + extra - most)
            if over and at - low > 1:
                continue
            spare = max(0, most - (at - low) - extra)
            price = least[low][0] + _PAGE + cuts.cost[at] * (at < end) + spare * spare // 10
            tried.append((price, low))
        least[at] = min(tried)
    bounds = [end]
    while bounds[-1] > begin:
        bounds.append(least[bounds[-1]][1])
    return bounds[::-1]
