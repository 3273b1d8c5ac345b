"""A chart as a book in which every page, as drawn, prints large enough."""

from __future__ import annotations

from procforge.render.chart.drawing import Drawn, lay
from procforge.render.chart.split import MOST_NODES, Cutter, Part, bind
from procforge.sheet.chart import Chart, ChartBook

LEAST_PT = 7.0


def book(chart: Chart, max_nodes: int = MOST_NODES, least_pt: float = LEAST_PT) -> ChartBook:
    """The book of `laid_book`, not drawn."""
    pages = [drawn.chart for drawn in laid_book(chart, max_nodes, least_pt)]
    return ChartBook(pages[0], tuple(pages[1:])) if len(pages) > 1 else ChartBook(None, tuple(pages))


def laid_book(chart: Chart, max_nodes: int = MOST_NODES, least_pt: float = LEAST_PT) -> list[Drawn]:
    """`split`, each page laid out and measured, and cut again while one prints under `least_pt` points on A4 or Letter.

    The overview comes first, if there is one. A page that no cut helps (one symbol with a very long text) stays as it
    is. A page is laid out once, however often others are cut. Raises NoLayout.
    """
    cutter, overview_nodes = Cutter(chart), max_nodes
    cuts = cutter.parts(max_nodes)
    done: dict[Chart, Drawn] = {}
    while True:
        made = bind(chart, cuts, overview_nodes)
        for drawn in lay(page for page in made.pages if page not in done):
            done[drawn.chart] = drawn
        small = [done[page].print_pt() < least_pt for page in made.pages]
        overview_small = made.overview is not None and small.pop(0)
        finer = [p for part, bad in zip(cuts, small, strict=True) for p in (_finer(cutter, part) if bad else [part])]
        if overview_small and overview_nodes > 4:
            overview_nodes -= 2
        elif finer == cuts:
            return [done[page] for page in made.pages]
        cuts = finer


def _finer(cutter: Cutter, part: Part) -> list[Part]:
    """The part in about two halves; a single symbol as it is."""
    count = part.high - part.low
    return cutter.cut(part, min(count - 1, count // 2 + 3)) if count > 1 else [part]
