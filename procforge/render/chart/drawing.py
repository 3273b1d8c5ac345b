"""Draws charts: DOT, then one layout for all of them, then pictures with their keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from procforge.render.chart.dot import to_dot
from procforge.render.chart.layout import layout_many
from procforge.render.chart.legend import entries, with_legend
from procforge.render.chart.svg import finish, size_pt
from procforge.sheet.chart import Chart

PNG_DPI = 200
_PNG_MOST_PX = 12_000  # a side; more than any reader of pictures likes, and memory grows with the square


def draw(charts: Sequence[Chart], format: Literal["svg", "png", "dot"]) -> list[bytes]:
    """Each chart drawn with its key, in order; the same bytes on every run. Raises NoLayout (not for dot).

    All charts go through one layout process and one drawing process. PNG at 200 dots an inch, less for a chart
    that would be over 12,000 dots long. DOT is the chart before layout, without its key.
    """
    sources = [to_dot(chart) for chart in charts]
    if format == "dot":
        return [source.encode() for source in sources]
    placed = [
        with_legend(text.decode(), chart) if chart.legend and entries(chart) else text.decode()
        for text, chart in zip(layout_many(sources, "dot"), charts, strict=True)
    ]
    svgs = layout_many(placed, "svg", placed=True)
    if format == "svg":
        return [finish(svg, chart) for svg, chart in zip(svgs, charts, strict=True)]
    longest = max((max(size_pt(svg)) for svg in svgs), default=1.0)
    dpi = max(24, min(PNG_DPI, int(_PNG_MOST_PX * 72 / longest)))
    return layout_many(placed, "png", dpi=dpi, placed=True)
