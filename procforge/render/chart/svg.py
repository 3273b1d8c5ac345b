"""SVG of a chart made fit to stand alone: named, described, with nothing to fetch and nothing to run."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from procforge.render.chart.dot import node_id
from procforge.render.chart.lettering import FONT, FONT_PT, clean
from procforge.render.chart.shapes import words
from procforge.sheet.chart import Chart, ChartNode, NodeKind

A4_TEXT_PT = (180 / 25.4 * 72, 257 / 25.4 * 72)
_SVG, _XLINK = "http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"
_FAMILY = f"{FONT}, Helvetica, 'Liberation Sans', sans-serif"


def describe(chart: Chart) -> str:
    """The chart in words, one sentence a symbol with where it leads, for those who cannot see it."""
    names = {node.id: _name(node) for node in chart.nodes}
    ways: dict[str, list[str]] = {node.id: [] for node in chart.nodes}
    for edge in chart.edges:
        label = clean(edge.label)
        ways[edge.source].append((f"{label}: " if label else "") + names[edge.target])
    return "\n".join(
        f"{names[node.id]}. Leads to {', or '.join(ways[node.id])}." if ways[node.id] else f"{names[node.id]}."
        for node in chart.nodes
    )


def finish(svg: bytes, chart: Chart) -> bytes:
    """The layout program's SVG with role, title and description, without its DTD, comments and program version.

    Each symbol's own title becomes the words of the node; ids that clash when two charts stand in one page go.
    """
    ET.register_namespace("", _SVG)
    root = ET.fromstring(svg)
    names = {node.id: _name(node) for node in chart.nodes}
    for parent in list(root.iter()):
        parent.attrib.pop("id", None)
        for old in parent.findall(f"{{{_SVG}}}title"):
            name = names.get(node_id(old.text or ""), "") if parent.get("class", "").startswith("node") else ""
            if name:
                old.text = name
            else:
                parent.remove(old)
        if parent.tag == f"{{{_SVG}}}text" and parent.get("font-family"):
            parent.set("font-family", _FAMILY)
    title, desc = ET.Element(f"{{{_SVG}}}title"), ET.Element(f"{{{_SVG}}}desc")
    title.text, desc.text = clean(chart.title), describe(chart)
    title.tail = desc.tail = "\n"
    root[0:0] = [title, desc]
    root.set("role", "img")
    root.set("aria-label", clean(chart.title))
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode").encode() + b"\n"


def size_pt(svg: str | bytes) -> tuple[float, float]:
    """Width and height of a drawn chart in points."""
    root = ET.fromstring(svg)
    width, height = (float(root.get(side, "0").removesuffix("pt")) for side in ("width", "height"))
    return width, height


def print_scale(svg: str | bytes) -> float:
    """Size in points of the chart's smallest text when it is printed to fit an A4 text area (180 x 257 mm).

    A chart smaller than the area is not enlarged. 7 pt is the least that reads well.
    """
    width, height = size_pt(svg)
    sizes = [float(text.get("font-size", FONT_PT)) for text in ET.fromstring(svg).iter(f"{{{_SVG}}}text")]
    return min(sizes, default=FONT_PT) * min(1.0, A4_TEXT_PT[0] / width, A4_TEXT_PT[1] / height)


def _name(node: ChartNode) -> str:
    kinds = {NodeKind.FORK: "Work side by side begins", NodeKind.JOIN: "Work side by side ends"}
    if node.kind == NodeKind.CONNECTOR:
        return clean(f"Connector {node.title} {node.ref}")
    return kinds.get(node.kind) or " ".join(clean(words(node)).replace("\u00a0", " ").split())
