"""A chart in words, for those who cannot see it: shorter than a sentence for every arrow, and as full."""

from __future__ import annotations

from procforge.render.chart.lettering import clean
from procforge.render.chart.shapes import words
from procforge.sheet.chart import Chart, ChartEdge, ChartNode, EdgeKind, NodeKind

_BEFORE = {
    NodeKind.DECISION: "decision ",
    NodeKind.HOLD: "hold ",
    NodeKind.READING: "reading ",
    NodeKind.CALL: "elsewhere ",
    NodeKind.FORK: "ways side by side begin",
    NodeKind.JOIN: "ways side by side meet",
}
_FLOW = (EdgeKind.FLOW, EdgeKind.BACK)


def tell(chart: Chart) -> str:
    """The symbols in the order of the chart; where the next one is not the one that follows, the way there is said."""
    ways: dict[str, list[ChartEdge]] = {}
    for edge in chart.edges:
        ways.setdefault(edge.source, []).append(edge)
    names = {node.id: _name(node) for node in chart.nodes}
    said = []
    for at, node in enumerate(chart.nodes):
        following = chart.nodes[at + 1].id if at + 1 < len(chart.nodes) else ""
        on = ways.get(node.id, [])
        if len(on) == 1 and on[0].target == following and on[0].kind in _FLOW and not on[0].label:
            said.append(names[node.id])
        elif not on:
            said.append(names[node.id] + " (ends here)" * (node.kind == NodeKind.STOP))
        else:
            to = "; ".join(_way(edge, names) for edge in on)
            said.append(f"{names[node.id]} ({to})")
    return f"{clean(chart.title)}. " + ", then ".join(said) + "."


def _way(edge: ChartEdge, names: dict[str, str]) -> str:
    label = f"{clean(edge.label)}: " if edge.label else ""
    word = "back to " if edge.kind == EdgeKind.BACK else "to " if edge.kind == EdgeKind.FLOW else "needed by "
    return f"{label}{word}{names[edge.target]}"


def _name(node: ChartNode) -> str:
    if node.kind in (NodeKind.FORK, NodeKind.JOIN):
        return _BEFORE[node.kind]
    if node.kind == NodeKind.CONNECTOR:
        return clean(f"connector {node.title} {node.ref}")
    text = clean(words(node)).replace("\u00a0", " ").rstrip(".")
    return _BEFORE.get(node.kind, "") + " ".join(text.split())
