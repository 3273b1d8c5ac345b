"""Cuts a long chart into pages that each print large enough, joined by connectors, with an overview."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, groupby, pairwise

from procforge.render.chart.overview import overview
from procforge.render.chart.pages import Page, arrows, page_charts
from procforge.render.chart.shapes import heights
from procforge.sheet.chart import Chart, ChartBook, GroupKind, NodeKind

MOST_NODES = 20
MOST_PT = 840.0  # of symbols and connectors under each other; with title and key they fit a page at 7 pt
_CONNECTOR_PT = 55.0  # a row of connectors with the arrows that reach or leave it
# The cost of a cut, in points of one measure: a page more, a connector more than the one that any cut needs,
# an arrow back that jumps pages, a frame (lanes, repeat, any order) cut in two. Small integers, so no rounding.
_PAGE, _CONNECTOR, _BACK, _FRAME = 40, 60, 90, 60


@dataclass(frozen=True, slots=True)
class Part:
    """The nodes at positions `low` to `high` (not included) of a chart, a page of the section `title`."""

    title: str
    low: int
    high: int


class Cutter:
    """Cuts one chart into parts, however often: what cuts cost, where arrows run and how high symbols stand, once."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        self._costs = _cut_costs(chart)
        self._around = arrows(chart)
        self._tall = heights(chart)

    def parts(self, max_nodes: int) -> list[Part]:
        """The chart whole if it is short enough, else its sections, each cut into pages."""
        if max_nodes < 4:
            raise ValueError("a chart needs room for 4 symbols at least")
        nodes = self.chart.nodes
        if len(nodes) <= max_nodes:
            return [Part(self.chart.title, 0, len(nodes))]
        starts = _section_starts(self.chart)
        ends = [at for at, _ in starts[1:]] + [len(nodes)]
        whole = [Part(title, low, high) for (low, title), high in zip(starts, ends, strict=True)]
        return [smaller for part in whole for smaller in self.cut(part, max_nodes)]

    def cut(self, part: Part, max_nodes: int) -> list[Part]:
        """A part cut into parts of at most `max_nodes` symbols each, and so high that they fit a page."""
        bounds = _best(self._costs, self._around, self._tall, part, max_nodes)
        return [Part(part.title, low, high) for low, high in pairwise(bounds)]


def split(chart: Chart, max_nodes: int = MOST_NODES) -> ChartBook:
    """The chart as a book of charts of at most `max_nodes` symbols each, connectors counted; the same on every run.

    A chart that is short enough stays whole, without an overview. Else a section begins a new chart, and a long
    section is cut in the written order, best where one arrow alone goes on. Where more arrows cross, each place
    gone to gets a letter of its own. A page is over `max_nodes` only where one symbol has so many connectors.
    No arrow is lost: one that crosses runs to a connector on its own chart and from its like on the other.
    """
    return bind(chart, Cutter(chart).parts(max_nodes), max_nodes)


def bind(chart: Chart, cuts: Sequence[Part], overview_nodes: int) -> ChartBook:
    """The book of these parts; its overview has at most `overview_nodes` symbols."""
    if len(cuts) < 2:
        return ChartBook(None, (chart,))
    pages: list[Page] = []
    for _, run in groupby(cuts, key=lambda part: part.title):
        of = list(run)
        for number, part in enumerate(of, 1):
            count = f" ({number}\u00a0of\u00a0{len(of)})" if len(of) > 1 else ""
            ids = frozenset(node.id for node in chart.nodes[part.low : part.high])
            pages.append(Page(part.title, count, ids))
    return ChartBook(overview(chart, pages, overview_nodes), page_charts(chart, pages))


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


def _cut_costs(chart: Chart) -> list[int]:
    """What a cut before each position costs."""
    order = {node.id: at for at, node in enumerate(chart.nodes)}
    size = len(chart.nodes) + 1
    back, frames, crossing = [0] * size, [0] * size, [0] * size
    targets: dict[int, int] = {}  # a target's earliest source: a cut between the two needs a connector for it
    for edge in chart.edges:
        source, target = order[edge.source], order[edge.target]
        if target <= source:
            _span(back, target, source)
        else:
            targets[target] = min(source, targets.get(target, source))
    for target, source in targets.items():
        _span(crossing, source, target)
    for group in chart.groups:
        if group.members and group.kind != GroupKind.SECTION:
            places = [order[member] for member in group.members]
            _span(frames, min(places), max(places))
    costs = [
        max(0, one - 1) * _CONNECTOR + two * _BACK + three * _FRAME
        for one, two, three in zip(accumulate(crossing), accumulate(back), accumulate(frames), strict=True)
    ]
    for at, node in enumerate(chart.nodes, 1):
        if node.kind in (NodeKind.DECISION, NodeKind.FORK, NodeKind.START):
            costs[at] += _FRAME  # read together with what follows
    for at, node in enumerate(chart.nodes):
        if node.kind in (NodeKind.JOIN, NodeKind.END, NodeKind.STOP):
            costs[at] += _FRAME  # read together with what comes before
    return costs


def _span(steps: list[int], low: int, high: int) -> None:
    """Count one more at every cut between the nodes at two positions (as differences, summed up later)."""
    steps[low + 1] += 1
    if high + 1 < len(steps):
        steps[high + 1] -= 1


def _best(costs: list[int], around: list[list[tuple[int, int]]], tall: list[float], part: Part, most: int) -> list[int]:
    """Positions from the part's low to its high at which to cut, cheapest in all; of equal ones the evenest."""
    begin, end = part.low, part.high
    least: dict[int, tuple[int, int]] = {begin: (0, begin)}
    for at in range(begin + 1, end + 1):
        tried: list[tuple[int, int]] = []
        away: dict[int, list[int]] = {}  # for each node off the page the marks of its connectors
        marks: dict[int, int] = {}  # each connector with the arrows it has
        below: dict[int, float] = {}  # how far down the page reaches from the top of each symbol
        high = 0.0
        for low in range(at - 1, max(begin, at - most) - 1, -1):
            for mark in away.pop(low, ()):
                marks[mark] -= 1
                if not marks[mark]:
                    del marks[mark]
            under = 0.0
            for other, mark in around[low]:
                if low < other < at:
                    under = max(under, below[other])
                elif other != low:
                    away.setdefault(other, []).append(mark)
                    marks[mark] = marks.get(mark, 0) + 1
            below[low] = tall[low] + under
            high = max(high, below[low])
            rows = {mark & 1 if mark >= 0 else 2 for mark in marks}
            if at - low > 1 and high + len(rows) * _CONNECTOR_PT > MOST_PT:
                if high > MOST_PT:
                    break
                continue
            count = at - low + len(marks)
            if count > most and at - low > 1:
                continue
            spare = max(0, most - count)
            tried.append((least[low][0] + _PAGE + costs[at] * (at < end) + spare * spare // 10, low))
        least[at] = min(tried)
    bounds = [end]
    while bounds[-1] > begin:
        bounds.append(least[bounds[-1]][1])
    return bounds[::-1]
