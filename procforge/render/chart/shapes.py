"""The symbol of each node kind: its size, worked out from the text, and its drawing attributes.

Sizes are fixed here, not left to the layout program, so that every layout program gives the same chart and
text never runs over a slanted side.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from procforge.render.chart.lettering import LINE_PT, width, wrap
from procforge.sheet.chart import Chart, ChartNode, EdgeKind, NodeKind

INK, PAPER, GREY = "#222222", "#ffffff", "#8a8a8a"
HOLD_FILL, STOP_INK = "#fff2bf", "#b3261e"  # colour only where it is about safety
BAR_PT = 4.0
ARROW_PT = 17.0  # from one row of symbols to the next
LANE_GAP = 14.4  # points between neighbours in a row


@dataclass(frozen=True, slots=True)
class Box:
    """A symbol's lines of text and its outer size in points."""

    lines: tuple[str, ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Shape:
    """How a kind is drawn.

    `reach(t)` is the half width left at relative height t (0 at the middle, 1 at the top edge), as a share of
    the full half width. `column` is the widest line, `least` the least outer size, `most` the widest outline.
    `broad` is the column for text of more than ten lines, if not `column`.
    """

    attributes: dict[str, str]
    reach: Callable[[float], float] = lambda _: 1.0
    column: float = 150.0
    least: tuple[float, float] = (124.0, 22.0)
    most: float = 400.0
    pad: tuple[float, float] = (8.0, 5.0)
    broad: float = 0.0

    def box(self, text: str) -> Box:
        """The smallest symbol of this shape that holds `text`: wide before high, up to `most`."""
        lines = wrap(text, self.column)
        if self.broad and len(lines) > 10:
            lines = wrap(text, self.broad)
        tall = len(lines) * LINE_PT
        height = max(self.least[1], tall + 2 * self.pad[1])
        while True:
            wide = max(self._needed(line, i, tall, height) for i, line in enumerate(lines))
            if wide <= self.most or height > 4 * tall + 40:
                return Box(lines, max(self.least[0], wide), height)
            height += 2

    def _needed(self, line: str, index: int, tall: float, height: float) -> float:
        top = abs(tall / 2 - index * LINE_PT)
        bottom = abs(tall / 2 - (index + 1) * LINE_PT)
        share = self.reach(min(1.0, (max(top, bottom) - 1) / (height / 2)))  # 1 pt of a line is leading
        return (width(line) + 2 * self.pad[0]) / max(share, 0.05)


_TERMINATOR = Shape({"shape": "box", "style": "rounded,filled"}, least=(90, 22))
_BAR = Shape({"shape": "plain", "style": "solid", "fixedsize": "false"}, least=(60, BAR_PT))

SHAPES: dict[NodeKind, Shape] = {
    NodeKind.START: _TERMINATOR,
    NodeKind.END: _TERMINATOR,
    NodeKind.STOP: Shape(
        {"shape": "box", "style": "rounded,filled", "color": STOP_INK, "fontcolor": STOP_INK, "penwidth": "2"},
        least=(90, 24),
    ),
    NodeKind.STEP: Shape({"shape": "box"}),
    NodeKind.DECISION: Shape({"shape": "diamond"}, lambda t: 1 - t, 120, (110, 40), 200, (2, 4)),
    NodeKind.HOLD: Shape(
        {"shape": "octagon", "fillcolor": HOLD_FILL, "penwidth": "2"},
        lambda t: 1 - max(0.0, t - 0.4142),  # a regular octagon's corners, stretched
        150,
        (124, 26),
        pad=(8, 6),
    ),
    NodeKind.WITNESS: Shape({"shape": "octagon"}, lambda t: 1 - max(0.0, t - 0.4142), 150, (124, 26), pad=(8, 6)),
    NodeKind.READING: Shape({"shape": "polygon", "sides": "4", "skew": "0.15"}, lambda _: 0.78),
    NodeKind.CALL: Shape({"shape": "plain", "style": "solid", "fixedsize": "false"}, pad=(14, 5)),
    NodeKind.LOOP_START: Shape({"shape": "polygon", "sides": "4", "distortion": "-0.12"}, lambda _: 0.76),
    NodeKind.LOOP_END: Shape({"shape": "polygon", "sides": "4", "distortion": "0.12"}, lambda _: 0.76),
    NodeKind.FORK: _BAR,
    NodeKind.JOIN: _BAR,
    NodeKind.ELSEWHERE: Shape(
        {"shape": "box", "style": "rounded,dashed"}, column=72, least=(46, 18), pad=(4, 3), broad=300
    ),
    NodeKind.CONNECTOR: Shape({"shape": "circle"}, lambda t: (1 - t * t) ** 0.5, 60, (24, 24), pad=(3, 3)),
}

_LEVEL = (NodeKind.STEP, NodeKind.CALL, NodeKind.HOLD, NodeKind.WITNESS, NodeKind.READING)


def words(node: ChartNode) -> str:
    """The words in a symbol: its number, kept on the first line with the first word, then its title."""
    if not node.ref or node.kind == NodeKind.CONNECTOR:
        return node.title
    if node.kind == NodeKind.ELSEWHERE:
        return f"{node.ref} {node.title}"
    return f"{node.ref}\u00a0\u00a0{node.title.lstrip()}"


@lru_cache(maxsize=8192)
def _box(kind: NodeKind, text: str) -> Box:
    return SHAPES[kind].box(text)


def boxes(chart: Chart) -> dict[str, Box]:
    """The size of each symbol by node id. Steps and their like are equally wide, so that lanes stand in line.

    A bar (fork, join) has one empty line for each lane that leaves or meets it.
    """
    sizes = {node.id: _box(node.kind, words(node)) for node in chart.nodes}
    steps = (NodeKind.STEP, NodeKind.CALL)
    level = max((sizes[node.id].width for node in chart.nodes if node.kind in steps), default=0.0)
    flow = [edge for edge in chart.edges if edge.kind == EdgeKind.FLOW]
    leave, reach = Counter(edge.source for edge in flow), Counter(edge.target for edge in flow)
    for node in chart.nodes:
        box = sizes[node.id]
        if node.kind in _LEVEL:
            sizes[node.id] = Box(box.lines, max(level, box.width), box.height)
        elif node.kind == NodeKind.CONNECTOR:
            sizes[node.id] = Box(box.lines, *[max(box.width, box.height)] * 2)
        elif node.kind in (NodeKind.FORK, NodeKind.JOIN):
            lanes = max(1, (leave if node.kind == NodeKind.FORK else reach)[node.id])
            sizes[node.id] = Box(("",) * lanes, max(60.0, lanes * (level + LANE_GAP) - LANE_GAP), BAR_PT)
    return sizes


def heights(chart: Chart) -> list[float]:
    """How much room each symbol takes down the page, in points, with the arrow under it: near what layouts give."""
    answers = {edge.source for edge in chart.edges if edge.label.strip()}
    room = {True: ARROW_PT + LINE_PT, False: ARROW_PT}
    return [_box(node.kind, words(node)).height + room[node.id in answers] for node in chart.nodes]
