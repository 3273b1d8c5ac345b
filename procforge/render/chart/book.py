"""A chart as a book in which every page, as drawn, prints large enough."""

from __future__ import annotations

from procforge.render.chart.drawing import draw
from procforge.render.chart.split import MOST_NODES, Part, bind, cut, parts
from procforge.render.chart.svg import print_scale
from procforge.sheet.chart import Chart, ChartBook

LEAST_PT = 7.0


def book(chart: Chart, max_nodes: int = MOST_NODES, least_pt: float = LEAST_PT) -> ChartBook:
    """`split`, then each page drawn and measured, and cut again while it prints under `least_pt` points on A4.

    A page that no cut helps (one symbol with a very long text) stays as it is. Raises NoLayout.
    """
    cuts, overview_nodes = parts(chart, max_nodes), max_nodes
    while True:
        made = bind(chart, cuts, overview_nodes)
        small = [print_scale(svg) < least_pt for svg in draw(made.pages, "svg")]
        overview_small = made.overview is not None and small.pop(0)
        finer = [p for part, bad in zip(cuts, small, strict=True) for p in (_finer(chart, part) if bad else [part])]
        if overview_small and overview_nodes > 4:
            overview_nodes -= 2
        elif finer == cuts:
            return made
        cuts = finer


def _finer(chart: Chart, part: Part) -> list[Part]:
    """The part in about two halves; a single symbol as it is."""
    count = part.high - part.low
    return cut(chart, [part], min(count - 1, count // 2 + 3)) if count > 1 else [part]
