"""A chart as DOT text."""

from __future__ import annotations

import html
import re
from collections import Counter
from collections.abc import Mapping
from functools import lru_cache

from procforge.render.chart.lettering import FONT, FONT_PT, clean, wrap
from procforge.render.chart.shapes import GREY, INK, PAPER, SHAPES, Box, boxes
from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, GroupKind, NodeKind

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


_LETTERS = {"fontname": FONT, "fontsize": f"{FONT_PT:g}", "fontcolor": INK}
_DEFAULTS: dict[str, dict[str, str]] = {
    "graph": {
        "fontname": FONT, "fontsize": "12", "ranksep": "0.22", "nodesep": "0.2", "margin": "0", "pad": "0.05", "bgcolor": PAPER,
    },
    "node": _LETTERS | {
        "color": INK, "penwidth": "0.8", "style": "filled", "fillcolor": PAPER, "fixedsize": "true", "margin": "0",
    },
    "edge": _LETTERS | {"color": INK, "penwidth": "0.8", "arrowsize": "0.6"},
}  # fmt: skip


@lru_cache(maxsize=4096)
def safe_name(ident: str) -> str:
    """A node id as a DOT name of ASCII letters, digits and underscores; `node_id` turns it back."""
    return "n_" + re.sub(r"[^A-Za-z0-9]", lambda found: f"_{ord(found[0]):x}_", ident)


def node_id(name: str) -> str:
    """The node id behind a DOT name made by `safe_name`."""
    return re.sub(r"_([0-9a-f]+)_", lambda found: chr(int(found[1], 16)), name.removeprefix("n_"))


def to_dot(chart: Chart, *, titled: bool = True) -> str:
    """The chart as DOT, the same text on every run: symbols, frames, arrows and, if `titled`, its title; without key.

    Each arrow is one DOT edge between `safe_name`s with its kind as `class`.
    """
    title = {"label": plain_lines(wrap(chart.title, 420, 12)) + "\\n ", "labelloc": "t"} if titled else {}
    lines = ["digraph chart {"]
    lines += [f"\t{kind} [{_listed(attributes)}]" for kind, attributes in _DEFAULTS.items()]
    lines[1:1] = [f"\tgraph [{_listed(title)}]"] if title else []
    inside = {member: group.id for group in chart.groups for member in group.members}
    _fill(lines, chart, "", inside, boxes(chart))
    _add_edges(lines, chart)
    return "\n".join([*lines, "}", ""])


def _listed(attributes: Mapping[str, str]) -> str:
    """Attributes as DOT writes them: quoted, so that nothing in them is read as DOT; HTML labels in their own brackets."""
    return " ".join(
        f"{key}={value}" if value.startswith("<<TABLE") else f'{key}="{_quoted(value)}"'
        for key, value in attributes.items()
    )


def _quoted(value: str) -> str:
    return value.replace('"', '\\"')


def _fill(lines: list[str], chart: Chart, frame: str, inside: dict[str, str], sizes: dict[str, Box]) -> None:
    tied = {end for edge in chart.edges for end in (edge.source, edge.target)}
    apart = []  # what no arrow ties to the rest stands under it
    for node in chart.nodes:
        if inside.get(node.id, "") == frame and (frame or not tied or node.id in tied):
            lines.append(_symbol(node, sizes[node.id]))
        elif inside.get(node.id, "") == frame:
            apart.append(node)
    beside = [n for n in chart.nodes if n.id in tied and not inside.get(n.id)][-len(apart) :] if apart else []
    if len(beside) == len(apart) > 1:  # each beside one of the last symbols, so that they take no width
        for node, other in zip(apart, beside, strict=True):
            lines += ["\t{", "\tgraph [rank=same]", f"\t{safe_name(other.id)}", _symbol(node, sizes[node.id]), "\t}"]
    elif apart:
        lines += ["\t{", "\tgraph [rank=max]", *(_symbol(node, sizes[node.id]) for node in apart), "\t}"]
    for group in chart.groups:
        if group.parent == frame:
            lines += [f"\tsubgraph cluster_{safe_name(group.id)} {{", f"\tgraph [{_listed(_frame(group, sizes))}]"]
            _fill(lines, chart, group.id, inside, sizes)
            lines.append("\t}")


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


def _symbol(node: ChartNode, box: Box) -> str:
    attributes: dict[str, str] = {}
    if node.kind in (NodeKind.FORK, NodeKind.JOIN):
        attributes["label"] = _bar(box)
    elif node.kind == NodeKind.CALL:
        attributes["label"] = _side_bars(box)
    else:
        attributes |= {"label": plain_lines(box.lines), "width": f"{box.width / 72:.3f}"}
        attributes["height"] = f"{box.height / 72:.3f}"
    return f"\t{safe_name(node.id)} [{_look(node.kind)} {_listed(attributes)}]"


@lru_cache
def _look(kind: NodeKind) -> str:
    return _listed({"class": kind.value, **SHAPES[kind].attributes})


@lru_cache
def _arrow(kind: EdgeKind) -> str:
    return _listed({"class": kind.value, **ARROWS[kind]})


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


def _add_edges(lines: list[str], chart: Chart) -> None:
    order = {node.id: i for i, node in enumerate(chart.nodes)}
    down = _straight_down(chart, order)
    taken: Counter[tuple[str, str]] = Counter()
    noted: set[str] = set()
    for edge in chart.edges:
        attributes: dict[str, str] = {}
        said = wrap(edge.label, 110) if clean(edge.label) else ()
        for end in (edge.source, edge.target):
            # where a connector goes on stands at its first arrow, where the layout keeps room for words
            if end not in noted and chart.nodes[order[end]].kind == NodeKind.CONNECTOR:
                noted.add(end)
                said += (clean(chart.nodes[order[end]].ref),)
        if any(said):
            attributes["label"] = plain_lines(tuple(f" {line} " for line in said if line))
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
        lines.append(
            f"\t{safe_name(edge.source)} -> {safe_name(edge.target)} [{_arrow(edge.kind)} {_listed(attributes)}]"
        )


def _straight_down(chart: Chart, order: dict[str, int]) -> set[ChartEdge]:
    """For each node the way on that runs straight down: the first that does not end in a stop, on this chart if it can."""
    stopped = _stopped(chart, order)
    best: dict[str, tuple[tuple[bool, bool, int], ChartEdge]] = {}
    for edge in chart.edges:
        at = order[edge.target]
        if edge.kind != EdgeKind.BACK and at > order[edge.source]:
            rank = (edge.target in stopped, chart.nodes[at].kind == NodeKind.CONNECTOR, at)
            if edge.source not in best or rank < best[edge.source][0]:
                best[edge.source] = (rank, edge)
    return {edge for _, edge in best.values()}


def _stopped(chart: Chart, order: dict[str, int]) -> set[str]:
    """The nodes from which every way leads to a stop."""
    onward: dict[str, list[str]] = {}
    for edge in chart.edges:
        if edge.kind == EdgeKind.FLOW and order[edge.target] > order[edge.source]:
            onward.setdefault(edge.source, []).append(edge.target)
    found: set[str] = set()
    for node in reversed(chart.nodes):
        ways = onward.get(node.id, [])
        if node.kind == NodeKind.STOP or (ways and all(way in found for way in ways)):
            found.add(node.id)
    return found


def plain_lines(lines: tuple[str, ...]) -> str:
    """A label of these lines that, quoted, DOT takes as plain text: no escapes, entities or HTML of the user's."""
    return "\\n".join(line.replace("&", "&amp;").replace("\\", "\\\\").replace("\u00a0", " ") for line in lines)
