"""SVG of a chart made fit to stand alone: named, described, with nothing to fetch and nothing to run."""

from __future__ import annotations

import re
from html import escape
from xml.etree import ElementTree as ET

from procforge.render.chart.dot import node_id
from procforge.render.chart.lettering import FONT, FONT_PT, clean, width, wrap
from procforge.render.chart.shapes import INK, PAPER, words
from procforge.sheet.chart import Chart, ChartNode, NodeKind

#: What a chart must fit, in points: 175 x 225 mm, which both A4 and Letter have within the margins of the sheet.
PRINT_PT = (175 / 25.4 * 72, 225 / 25.4 * 72)
TITLE_PT, TITLE_LINE = 12.0, 15.0
_SVG = "http://www.w3.org/2000/svg"
_FAMILY = f"{FONT}, Helvetica, 'Liberation Sans', sans-serif"
_HEAD = re.compile(r'<svg\b[^>]*?viewBox="[\d.]+ [\d.]+ ([\d.]+) ([\d.]+)"[^>]*>\s*')
_GROUP = re.compile(r'<g id="[^"]*" class="([^"]*)"([^>]*)>\n<title>([^<]*)</title>\n')
_COMMENT = re.compile(r"<!--.*?-->\n?", re.DOTALL)


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


def body_of(svg: bytes, chart: Chart) -> tuple[str, float, float]:
    """What the layout program drew, without its frame, comments and ids, as (SVG from 0, 0 on, width, height in points).

    Each symbol's own title becomes the words of the node. Raises ValueError for what is no SVG of that program.
    """
    text = svg.decode()
    head = _HEAD.search(text)
    if not head:
        raise ValueError("the layout program drew no SVG with a size")
    names = {node.id: _name(node) for node in chart.nodes}

    def group(found: re.Match[str]) -> str:
        kind, more, title = found.groups()
        name = names.get(node_id(title), "") if kind.startswith("node") else ""
        return f'<g class="{kind}"{more}>\n' + (f"<title>{escape(name, quote=False)}</title>\n" if name else "")

    body = _GROUP.sub(group, _COMMENT.sub("", text[head.end() : text.rindex("</svg>")]))
    return re.sub(r'<g id="[^"]*"', "<g", body), float(head[1]), float(head[2])


def compose(chart: Chart, body: str, size: tuple[float, float], title: str, key: tuple[str, float, float]) -> str:
    """A whole SVG document: the title over the body, the key under it, all in the middle; sizes in points."""
    lines = title_lines(title, size[0])
    over = _over(lines)
    wide, high = whole(size, lines, (key[1], key[2]))
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg width="{wide:.2f}pt" height="{high:.2f}pt" viewBox="0 0 {wide:.2f} {high:.2f}" xmlns="{_SVG}" role="img"'
        f' aria-label="{escape(clean(chart.title))}">\n'
        f"<title>{escape(clean(chart.title), quote=False)}</title>\n<desc>{escape(describe(chart), quote=False)}</desc>\n"
        f'<rect width="{wide:.2f}" height="{high:.2f}" fill="{PAPER}"/>\n'
    ]
    for number, line in enumerate(lines):
        place = f'text-anchor="middle" x="{wide / 2:.2f}" y="{number * TITLE_LINE + TITLE_PT:.2f}"'
        style = f'font-family="{FONT}" font-size="{TITLE_PT:.2f}" fill="{INK}"'
        parts.append(f"<text {place} {style}>{escape(line, quote=False)}</text>\n")
    parts.append(f'<g transform="translate({(wide - size[0]) / 2:.2f} {over:.2f})">\n{body}</g>\n')
    if key[0]:
        parts.append(f'<g transform="translate({(wide - key[1]) / 2:.2f} {over + size[1] + 8:.2f})">\n{key[0]}</g>\n')
    return "".join([*parts, "</svg>\n"]).replace(f'font-family="{FONT}"', f'font-family="{_FAMILY}"')


def whole(size: tuple[float, float], lines: tuple[str, ...], key: tuple[float, float]) -> tuple[float, float]:
    """Width and height of a chart of this size with the lines of its title over it and its key under it."""
    wide = max(size[0], key[0] + 4 if key[1] else 0.0, *(width(line, TITLE_PT) + 4 for line in lines), 0.0)
    return wide, _over(lines) + size[1] + (key[1] + 10 if key[1] else 0.0)


def _over(lines: tuple[str, ...]) -> float:
    return len(lines) * TITLE_LINE + 6 if lines else 0.0


def title_lines(title: str, across: float) -> tuple[str, ...]:
    """The lines of a title over a chart so many points wide; none without a title."""
    return wrap(title, max(across, 320.0), TITLE_PT) if title else ()


def size_pt(svg: str | bytes) -> tuple[float, float]:
    """Width and height of a drawn chart in points."""
    root = ET.fromstring(svg)
    across, down = (float(root.get(side, "0").removesuffix("pt")) for side in ("width", "height"))
    return across, down


def print_scale(svg: str | bytes, room: tuple[float, float] = PRINT_PT) -> float:
    """Size in points of the chart's smallest text when it is printed to fit `room` (width, height in points).

    A chart smaller than the room is not enlarged. 7 pt is the least that reads well.
    """
    across, down = size_pt(svg)
    sizes = [float(text.get("font-size", FONT_PT)) for text in ET.fromstring(svg).iter(f"{{{_SVG}}}text")]
    return min(sizes, default=FONT_PT) * min(1.0, room[0] / across, room[1] / down)


def _name(node: ChartNode) -> str:
    kinds = {NodeKind.FORK: "Work side by side begins", NodeKind.JOIN: "Work side by side ends"}
    if node.kind == NodeKind.CONNECTOR:
        return clean(f"Connector {node.title} {node.ref}")
    return kinds.get(node.kind) or " ".join(clean(words(node)).replace("\u00a0", " ").split())
