"""The key under a chart: one small sample of each symbol and arrow it uses, in rows under the chart."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from procforge.render.chart.dot import ARROWS, add_node, plain_lines
from procforge.render.chart.lettering import width
from procforge.render.chart.shapes import Box
from procforge.sheet.chart import Chart, ChartNode, EdgeKind, NodeKind

if TYPE_CHECKING:
    import graphviz

NODES: dict[NodeKind, str] = {
    NodeKind.STEP: "Step",
    NodeKind.DECISION: "Decision",
    NodeKind.HOLD: "Hold: wait for release",
    NodeKind.WITNESS: "Witness or review: give notice",
    NodeKind.STOP: "Job stops",
    NodeKind.READING: "Reading",
    NodeKind.CALL: "Steps on another chart or sheet",
    NodeKind.LOOP_START: "Repeat begins",
    NodeKind.LOOP_END: "Repeat ends",
    NodeKind.FORK: "In any order or side by side",
    NodeKind.CONNECTOR: "Go on at the same letter",
    NodeKind.ELSEWHERE: "Step on another chart",
}
EDGES: dict[EdgeKind, str] = {
    EdgeKind.NEEDS: "needed by",
    EdgeKind.ONE_OF: "one of these needed by",
    EdgeKind.AFTER: "must come before, since the later undoes it",
    EdgeKind.SAME: "sets the same thing, order counts",
    EdgeKind.GUARDS: "kept in order by a hold, wait or stop",
}
_SAMPLE, _ROW, _GAP, _NARROWEST = 30.0, 24.0, 14.0, 400.0


def entries(chart: Chart) -> list[tuple[NodeKind | EdgeKind, str]]:
    """What the key of this chart explains, in a fixed order; nothing if plain steps are all there is."""
    nodes = {node.kind for node in chart.nodes}
    edges = {edge.kind for edge in chart.edges}
    used: list[tuple[NodeKind | EdgeKind, str]] = [(kind, text) for kind, text in NODES.items() if kind in nodes]
    used += [(kind, text) for kind, text in EDGES.items() if kind in edges]
    return [] if [kind for kind, _ in used] == [NodeKind.STEP] else used


def with_legend(placed: str, chart: Chart) -> str:
    """The chart's DOT as laid out (`placed`, with positions), with its key added under it.

    The result has a position for everything and is drawn without a new layout. Lengths in points.
    """
    import graphviz

    found = re.search(r'graph \[bb="([^"]*)"', placed)
    if not found:
        return placed
    left, bottom, right, _ = map(float, found[1].split(","))
    items = [(kind, text, _SAMPLE + 5 + width(text)) for kind, text in entries(chart)]
    rows: list[list[tuple[NodeKind | EdgeKind, str, float]]] = []
    room = max(right - left, _NARROWEST)
    for item in items:
        if not rows or sum(i[2] + _GAP for i in rows[-1]) + item[2] > room:
            rows.append([])
        rows[-1].append(item)
    graph = graphviz.Digraph()
    for number, row in enumerate(rows):
        x = (left + right) / 2 - (sum(i[2] for i in row) + _GAP * (len(row) - 1)) / 2
        for kind, text, long in row:
            _sample(graph, kind, text, x, bottom - 26 - number * _ROW)
            x += long + _GAP
    return placed.rstrip().removesuffix("}") + "".join(graph.body) + "}\n"


def _sample(graph: graphviz.Digraph, kind: NodeKind | EdgeKind, text: str, x: float, y: float) -> None:
    name = "legend_" + kind.value.replace("-", "_")
    if isinstance(kind, NodeKind):
        high = 5.0 if kind == NodeKind.FORK else 16.0
        wide = 16.0 if kind == NodeKind.CONNECTOR else _SAMPLE
        sample = ChartNode(name, kind, "A" if kind == NodeKind.CONNECTOR else "")
        box = Box((sample.title,), wide, high)
        add_node(graph, name, sample, box, {"pos": f"{x + _SAMPLE / 2:.2f},{y:.2f}"})
    else:
        ends = (x, x + _SAMPLE)
        for i, at in enumerate(ends):
            graph.node(f"{name}_{i}", "", shape="point", style="invis", pos=f"{at:.2f},{y:.2f}")
        points = " ".join(f"{x + _SAMPLE * t:.2f},{y:.2f}" for t in (0, 0.3, 0.5, 0.8))
        line = {"class": "legend", "pos": f"e,{ends[1]:.2f},{y:.2f} {points}", **ARROWS[kind]}
        graph.edge(f"{name}_0", f"{name}_1", **line)
    half = width(text) / 2
    words = {
        "shape": "none",
        "style": "solid",
        "class": "legend",
        "width": f"{2 * half / 72:.3f}",
        "height": "0.17",
        "pos": f"{x + _SAMPLE + 5 + half:.2f},{y:.2f}",
    }
    graph.node(name + "_words", plain_lines((text,)), **words)
