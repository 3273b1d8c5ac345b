"""A chart as DOT text."""

from __future__ import annotations

import html
import re
from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING

from procforge.render.chart.lettering import FONT, FONT_PT, clean, wrap
from procforge.render.chart.shapes import GREY, INK, PAPER, SHAPES, Box, boxes
from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, GroupKind, NodeKind

if TYPE_CHECKING:
    import graphviz

ARROWS: dict[EdgeKind, dict[str, str]] = {
    EdgeKind.FLOW: {},
    EdgeKind.BACK: {},
    EdgeKind.NEEDS: {},
    EdgeKind.ONE_OF: {"style": "dashed"},
    EdgeKind.AFTER: {"style": "dotted", "arrowhead": "vee", "penwidth": "1.2"},
    EdgeKind.SAME: {"color": GREY, "arrowhead": "empty"},
    EdgeKind.GUARDS: {"color": GREY, "arrowhead": "diamond"},
}
_FRAMES: dict[GroupKind, str] = {
    GroupKind.SECTION: "solid",
    GroupKind.ANY_ORDER: "dashed",
    GroupKind.LANE: "dotted",
    GroupKind.LOOP: "dashed",
    GroupKind.PLACE: "solid",
}


def safe_name(ident: str) -> str:
    """A node id as a DOT name of ASCII letters, digits and underscores; `node_id` turns it back."""
    return "n_" + re.sub(r"[^A-Za-z0-9]", lambda found: f"_{ord(found[0]):x}_", ident)


def node_id(name: str) -> str:
    """The node id behind a DOT name made by `safe_name`."""
    return re.sub(r"_([0-9a-f]+)_", lambda found: chr(int(found[1], 16)), name.removeprefix("n_"))


def to_dot(chart: Chart) -> str:
    """The chart as DOT, the same text on every run: symbols, frames, arrows and title, without its key.

    Each arrow is one DOT edge between `safe_name`s with its kind as `class`.
    """
    import graphviz

    graph = graphviz.Digraph(
        "chart",
        graph_attr={
            "label": plain_lines(wrap(chart.title, 420, 12)) + "\\n ",
            "labelloc": "t",
            "fontname": FONT,
            "fontsize": "12",
            "ranksep": "0.22",
            "nodesep": "0.2",
            "margin": "0",
            "pad": "0.05",
            "bgcolor": PAPER,
        },
        node_attr={"fontname": FONT, "fontsize": f"{FONT_PT:g}", "fontcolor": INK, "color": INK, "penwidth": "0.8"},
        edge_attr={
            "fontname": FONT,
            "fontsize": f"{FONT_PT:g}",
            "fontcolor": INK,
            "color": INK,
            "penwidth": "0.8",
            "arrowsize": "0.6",
        },
    )
    graph.node_attr.update({"style": "filled", "fillcolor": PAPER, "fixedsize": "true", "margin": "0"})
    inside = {member: group.id for group in chart.groups for member in group.members}
    _fill(graph, chart, "", inside, boxes(chart))
    _add_edges(graph, chart)
    return str(graph.source)


def _fill(graph: graphviz.Digraph, chart: Chart, frame: str, inside: dict[str, str], sizes: dict[str, Box]) -> None:
    tied = {end for edge in chart.edges for end in (edge.source, edge.target)}
    apart = []  # what no arrow ties to the rest stands under it
    for node in chart.nodes:
        if inside.get(node.id, "") == frame and (frame or not tied or node.id in tied):
            add_node(graph, safe_name(node.id), node, sizes[node.id])
        elif inside.get(node.id, "") == frame:
            apart.append(node)
    if apart:
        with graph.subgraph(graph_attr={"rank": "max"}) as last:
            for node in apart:
                add_node(last, safe_name(node.id), node, sizes[node.id])
    for group in chart.groups:
        if group.parent == frame:
            with graph.subgraph(name="cluster_" + safe_name(group.id), graph_attr=_frame(group, sizes)) as inner:
                _fill(inner, chart, group.id, inside, sizes)


def _frame(group: ChartGroup, sizes: dict[str, Box]) -> dict[str, str]:
    widest = max((sizes[member].width for member in group.members), default=200.0)
    return {
        "label": plain_lines(wrap(group.title, max(50.0, widest / 2 - 16)))  # arrows come in at the middle
        if clean(group.title)
        else "",
        "labeljust": "l",
        "fontsize": f"{FONT_PT:g}",
        "fontcolor": INK,
        "color": GREY,
        "style": _FRAMES[group.kind],
        "penwidth": "0.8",
        "margin": "6",
        "class": group.kind.value,
    }


def add_node(
    graph: graphviz.Digraph, name: str, node: ChartNode, box: Box, more: Mapping[str, str] | None = None
) -> None:
    """Add one symbol of the size given to the graph, under a DOT name, with `more` attributes."""
    attributes = {"class": node.kind.value, **SHAPES[node.kind].attributes, **(more or {})}
    if node.kind in (NodeKind.FORK, NodeKind.JOIN):
        graph.node(name, _bar(box), **attributes)
    elif node.kind == NodeKind.CALL:
        graph.node(name, _side_bars(box), **attributes)
    else:
        size = {"width": f"{box.width / 72:.3f}", "height": f"{box.height / 72:.3f}"}
        graph.node(name, plain_lines(box.lines), **(attributes | size))


def _bar(box: Box) -> str:
    cell = '<TD PORT="p{}" FIXEDSIZE="TRUE" WIDTH="{:.0f}" HEIGHT="{:.0f}"></TD>'
    lanes = max(1, len(box.lines))
    cells = "".join(cell.format(i, box.width / lanes, box.height) for i in range(lanes))
    return (
        f'<<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0" BGCOLOR="{INK}"><TR>{cells}</TR></TABLE>>'
    )


def _side_bars(box: Box) -> str:
    text = "<BR/>".join(html.escape(line).replace("\\", "\\\\").replace("\u00a0", " ") for line in box.lines)
    side = '<TD BORDER="1" SIDES="{}" FIXEDSIZE="TRUE" WIDTH="6" HEIGHT="{:.0f}"></TD>'
    return (
        f'<<TABLE BORDER="1" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0" COLOR="{INK}" BGCOLOR="{PAPER}"><TR>'
        f'{side.format("R", box.height)}<TD FIXEDSIZE="TRUE" WIDTH="{box.width - 12:.0f}" HEIGHT="{box.height:.0f}">'
        f"{text}</TD>{side.format('L', box.height)}</TR></TABLE>>"
    )


def _add_edges(graph: graphviz.Digraph, chart: Chart) -> None:
    order = {node.id: i for i, node in enumerate(chart.nodes)}
    down = _straight_down(chart, order)
    taken: Counter[tuple[str, str]] = Counter()
    noted: set[str] = set()
    for edge in chart.edges:
        attributes = {"class": edge.kind.value, **ARROWS[edge.kind]}
        lines = wrap(edge.label, 110) if clean(edge.label) else ()
        for end in (edge.source, edge.target):
            # where a connector goes on stands at its first arrow, where the layout keeps room for words
            if end not in noted and chart.nodes[order[end]].kind == NodeKind.CONNECTOR:
                noted.add(end)
                lines += (clean(chart.nodes[order[end]].ref),)
        if any(lines):
            attributes["label"] = plain_lines(tuple(f" {line} " for line in lines if line))
        if edge in down:
            attributes["weight"] = "8"
        if edge.kind == EdgeKind.FLOW:
            if chart.nodes[order[edge.source]].kind == NodeKind.FORK:
                attributes["weight"] = "8"
                attributes["tailport"] = f"p{taken[edge.source, 'out']}:s"
                taken[edge.source, "out"] += 1
            if chart.nodes[order[edge.target]].kind == NodeKind.JOIN:
                attributes["weight"] = "8"
                attributes["headport"] = f"p{taken[edge.target, 'in']}:n"
                taken[edge.target, "in"] += 1
        graph.edge(safe_name(edge.source), safe_name(edge.target), **attributes)


def _straight_down(chart: Chart, order: dict[str, int]) -> set[ChartEdge]:
    """For each node the way on that runs straight down: to the first node written after it that goes on itself."""
    best: dict[str, tuple[bool, int, ChartEdge]] = {}
    for edge in chart.edges:
        at = order[edge.target]
        if edge.kind != EdgeKind.BACK and at > order[edge.source]:
            rank = (chart.nodes[at].kind in (NodeKind.STOP, NodeKind.CONNECTOR), at, edge)
            if edge.source not in best or rank[:2] < best[edge.source][:2]:
                best[edge.source] = rank
    return {rank[2] for rank in best.values()}


def plain_lines(lines: tuple[str, ...]) -> str:
    """A label of these lines that DOT takes as plain text: no escapes, entities or HTML of the user's."""
    import graphviz

    escaped = (line.replace("&", "&amp;").replace("\\", "\\\\").replace("\u00a0", " ") for line in lines)
    label: str = graphviz.nohtml("\\n".join(escaped))
    return label
