"""The key under a chart: one small sample of each symbol and arrow it uses, with its words, as SVG."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from html import escape
from typing import TypeAlias

from procforge.render.chart.lettering import FONT_PT, width
from procforge.render.chart.shapes import GREY, HOLD_FILL, INK, PAPER, STOP_INK
from procforge.sheet.chart import Chart, EdgeKind, NodeKind

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
#: What a key explains: each kind with its words.
Used: TypeAlias = tuple[tuple[NodeKind | EdgeKind, str], ...]
ROW = 24.0  # points a row of the key is high
_SAMPLE, _GAP = 30.0, 14.0


def entries(charts: Iterable[Chart]) -> Used:
    """What the key of these charts explains, in a fixed order; nothing if plain steps are all there is."""
    nodes: set[NodeKind] = set()
    edges: set[EdgeKind] = set()
    for chart in charts:
        nodes |= {node.kind for node in chart.nodes}
        edges |= {edge.kind for edge in chart.edges}
    used: list[tuple[NodeKind | EdgeKind, str]] = [(kind, text) for kind, text in NODES.items() if kind in nodes]
    used += [(kind, text) for kind, text in EDGES.items() if kind in edges]
    return () if all(kind == NodeKind.STEP for kind, _ in used) else tuple(used)


@lru_cache(maxsize=256)
def key(used: Used, room: float) -> tuple[str, float, float]:
    """The key as (SVG from 0, 0 to the right and down, width, height), in points; rows no wider than `room` if one fits."""
    rows: list[list[tuple[NodeKind | EdgeKind, str, float]]] = []
    for kind, text in used:
        item = (kind, text, _SAMPLE + 5 + width(text))
        if not rows or sum(long + _GAP for *_, long in rows[-1]) + item[2] > room:
            rows.append([])
        rows[-1].append(item)
    longs = [sum(long for *_, long in row) + _GAP * (len(row) - 1) for row in rows]
    widest = max(longs, default=0.0)
    drawn: list[str] = []
    for number, (row, long) in enumerate(zip(rows, longs, strict=True)):
        x, y = (widest - long) / 2, number * ROW + ROW / 2
        for kind, text, wide in row:
            drawn.append(f'<g class="legend" transform="translate({x + _SAMPLE / 2:.2f} {y:.2f})">\n')
            drawn.append(_SAMPLES[kind] if isinstance(kind, NodeKind) else _LINES[kind])
            drawn.append(_text(text, _SAMPLE / 2 + 5, "start") + "</g>\n")
            x += wide + _GAP
    return "".join(drawn), widest, len(rows) * ROW


def key_document(used: Used, room: float) -> tuple[str, float, float]:
    """The key as an SVG document of its own; see `key`."""
    drawn, wide, high = key(used, room)
    size = f'width="{wide + 4:.2f}pt" height="{high:.2f}pt" viewBox="-2 0 {wide + 4:.2f} {high:.2f}"'
    back = f'<rect x="-2" width="{wide + 4:.2f}" height="{high:.2f}" fill="{PAPER}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>\n{back}\n{drawn}</svg>\n', wide + 4, high


def _text(text: str, x: float, anchor: str) -> str:
    place = f'text-anchor="{anchor}" x="{x:g}" y="3.5" font-family="Arial" font-size="{FONT_PT:.2f}" fill="{INK}"'
    return f"<text {place}>{escape(text)}</text>\n"


def _polygon(*points: tuple[float, float], fill: str = PAPER, stroke: str = INK, wide: float = 0.8) -> str:
    at = " ".join(f"{x:g},{y:g}" for x, y in points)
    return f'<polygon fill="{fill}" stroke="{stroke}" stroke-width="{wide:g}" points="{at}"/>\n'


def _rounded(stroke: str, wide: float, more: str = "") -> str:
    paint = f'fill="{PAPER}" stroke="{stroke}" stroke-width="{wide:g}"{more}'
    return f'<rect x="-15" y="-8" width="30" height="16" rx="5" {paint}/>\n'


_BOX = ((-15, -8), (15, -8), (15, 8), (-15, 8))
_OCTAGON = ((-15, -3.3), (-6.2, -8), (6.2, -8), (15, -3.3), (15, 3.3), (6.2, 8), (-6.2, 8), (-15, 3.3))
#: A sample of each symbol about 30 by 16 points round 0, 0.
_SAMPLES: dict[NodeKind, str] = {
    NodeKind.STEP: _polygon(*_BOX),
    NodeKind.DECISION: _polygon((-15, 0), (0, -8), (15, 0), (0, 8)),
    NodeKind.HOLD: _polygon(*_OCTAGON, fill=HOLD_FILL, wide=2),
    NodeKind.WITNESS: _polygon(*_OCTAGON),
    NodeKind.STOP: _rounded(STOP_INK, 2),
    NodeKind.READING: _polygon((-10, -8), (15, -8), (10, 8), (-15, 8)),
    NodeKind.CALL: _polygon(*_BOX) + _polygon((-9, -8), (9, -8), (9, 8), (-9, 8)),
    NodeKind.LOOP_START: _polygon((-11, -8), (11, -8), (15, 8), (-15, 8)),
    NodeKind.LOOP_END: _polygon((-15, -8), (15, -8), (11, 8), (-11, 8)),
    NodeKind.FORK: _polygon((-15, -2), (15, -2), (15, 2), (-15, 2), fill=INK),
    NodeKind.CONNECTOR: f'<circle r="8" fill="{PAPER}" stroke="{INK}" stroke-width="0.8"/>\n' + _text("A", 0, "middle"),
    NodeKind.ELSEWHERE: _rounded(INK, 0.8, ' stroke-dasharray="5,2"'),
}


def _line(head: str, *, stroke: str = INK, wide: float = 0.8, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path fill="none" stroke="{stroke}" stroke-width="{wide:g}"{dashed} d="M-15,0 L9,0"/>\n{head}'


_TRIANGLE = ((9, -2.1), (15, 0), (9, 2.1))
#: A sample of each arrow, as the layout program draws it.
_LINES: dict[EdgeKind, str] = {
    EdgeKind.NEEDS: _line(_polygon(*_TRIANGLE, fill=INK)),
    EdgeKind.ONE_OF: _line(_polygon(*_TRIANGLE, fill=INK), dash="5,2"),
    EdgeKind.AFTER: _line(_polygon((15, 0), (9, 2.7), (11.4, 0), (9, -2.7), fill=INK, wide=1.2), wide=1.2, dash="1,5"),
    EdgeKind.SAME: _line(_polygon(*_TRIANGLE, stroke=GREY), stroke=GREY),
    EdgeKind.GUARDS: _line(_polygon((9, 0), (12, -2.4), (15, 0), (12, 2.4), fill=GREY, stroke=GREY), stroke=GREY),
}
