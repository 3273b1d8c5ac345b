"""A long chart cut into pages: nothing lost, cut where it reads best, every page large enough in print."""

from __future__ import annotations

from collections import Counter

import pytest
from chart_samples import bare, edges_of, flow, long_flow

from procforge.render.chart import LEAST_PT, book, draw, laid_book, print_scale, split
from procforge.render.chart.pages import TOGETHER
from procforge.sheet.chart import Chart, ChartBook, ChartEdge, ChartNode, EdgeKind, NodeKind


def whole(made: ChartBook) -> Counter[tuple[str, str, str, str]]:
    """The edges of a book with its connectors taken out again."""
    found: Counter[tuple[str, str, str, str]] = Counter()
    enters = {e.source: e.target for c in made.charts for e in c.edges if e.source.startswith("in ")}
    for chart in made.charts:
        for edge in chart.edges:
            if edge.source.startswith("in "):
                continue
            target = edge.target
            if target.startswith("out "):
                target = enters["in " + target.removeprefix("out ")]
            for source in edge.source.removeprefix("from ").split(TOGETHER):
                found[source, target, edge.kind.value, bare(edge.label)] += 1
    return found


@pytest.mark.parametrize("seed", range(8))
def test_a_split_loses_nothing(seed: int) -> None:
    chart = long_flow(200, 1 + seed % 4, seed)
    made = split(chart, 20)
    assert [n for c in made.charts for n in c.nodes if n.kind not in (NodeKind.CONNECTOR, NodeKind.ELSEWHERE)] == list(
        chart.nodes
    )
    forward = Counter({(s, t, "flow" if k == "back" else k, x): n for (s, t, k, x), n in whole(made).items()})
    assert forward == Counter(
        {(s, t, "flow" if k == "back" else k, x): n for (s, t, k, x), n in edges_of(chart).items()}
    )
    assert all(len(page.nodes) <= 20 for page in made.pages)
    assert made.overview is not None
    letters = [(n.id, n.title) for c in made.charts for n in c.nodes if n.id.startswith("in ")]
    assert len({title for _, title in letters}) == len(letters)
    assert split(chart, 20) == made


def test_a_chain_is_cut_where_one_arrow_goes_on() -> None:
    nodes = tuple(ChartNode(str(i), NodeKind.STEP, f"Step {i}") for i in range(60))
    chart = Chart("Chain", nodes, tuple(ChartEdge(str(i), str(i + 1)) for i in range(59)))
    made = split(chart)
    for page in made.charts:
        assert sum(n.kind == NodeKind.CONNECTOR for n in page.nodes) <= 2
    assert len(made.charts) == 4
    assert made.charts[0].nodes[-1].ref == "to chart 2"


def test_lanes_and_repeats_stay_whole_when_they_fit() -> None:
    for seed in range(5):
        chart = long_flow(150, 1, seed)
        home = {node.id: i for i, page in enumerate(split(chart).charts) for node in page.nodes}
        for edge in chart.edges:
            if edge.kind == EdgeKind.BACK or edge.source.startswith("fork"):
                assert home[edge.source] == home[edge.target]


def test_a_dependency_chart_splits_too() -> None:
    nodes = tuple(ChartNode(f"s{i}", NodeKind.STEP, f"Step {i}", f"1.{i}") for i in range(50))
    edges = tuple(ChartEdge(f"s{i}", f"s{j}", "", EdgeKind.NEEDS) for i in range(50) for j in (i + 1, i + 9) if j < 50)
    chart = Chart("Needs", nodes, edges)
    made = split(chart, 20)
    assert whole(made) == edges_of(chart)
    assert all(len(page.nodes) <= 20 for page in made.pages)


def test_a_short_chart_stays_whole() -> None:
    assert split(flow()) == ChartBook(None, (flow(),))


def test_every_page_of_a_book_prints_at_7_points() -> None:
    made = book(long_flow(500, 7))
    assert len(made.charts) > 20
    assert min(print_scale(svg) for svg in draw(made.pages, "svg")) >= LEAST_PT


def test_book_cuts_a_page_that_is_too_tall() -> None:
    words = "Look at the cover face for marks, dents and dirt and wipe it with a clean dry cloth " * 3
    nodes = tuple(ChartNode(str(i), NodeKind.DECISION, words) for i in range(12))
    edges = tuple(ChartEdge(str(i), str(i + 1), "Yes") for i in range(11))
    chart = Chart("Tall", nodes, edges)
    assert print_scale(draw([chart], "svg")[0]) < LEAST_PT
    assert min(print_scale(svg) for svg in draw(book(chart).pages, "svg")) >= LEAST_PT


def test_steps_of_one_chart_with_the_same_arrows_share_a_symbol() -> None:
    nodes = tuple(ChartNode(f"s{i}", NodeKind.STEP, f"Step {i}", f"1.{i}") for i in range(30))
    edges = tuple(ChartEdge(f"s{i}", f"s{j}", "", EdgeKind.NEEDS) for i in range(3) for j in (28, 29))
    chain = tuple(ChartEdge(f"s{i}", f"s{i + 1}", "", EdgeKind.AFTER) for i in range(3, 27))
    made = split(Chart("Needs", nodes, edges + chain), 20)
    ghosts = [n for page in made.charts for n in page.nodes if n.id.startswith("from s0")]
    assert [(n.ref, n.title) for n in ghosts] == [("1.0, 1.1, 1.2", "chart\u00a01")]
    assert whole(made) == edges_of(Chart("Needs", nodes, edges + chain))


def test_steps_of_very_many_charts_with_the_same_arrows_share_a_symbol_that_fits_a_page() -> None:
    nodes = tuple(ChartNode(f"s{i}", NodeKind.STEP, f"Step {i}", f"1.{i}") for i in range(2000))
    edges = tuple(ChartEdge(f"s{i}", "s1999", "", EdgeKind.NEEDS) for i in range(0, 1999, 11))
    made = laid_book(Chart("Needs", nodes, edges))
    last = made[-1].chart
    assert len([n for n in last.nodes if n.kind == NodeKind.ELSEWHERE]) == 1
    assert min(one.print_pt() for one in made) >= LEAST_PT
    book_ = ChartBook(made[0].chart, tuple(one.chart for one in made[1:]))
    assert whole(book_) == edges_of(Chart("Needs", nodes, edges))
