"""Draws charts: DOT, one layout for all of them, then pictures with title and key."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from procforge.render.chart.dot import to_dot
from procforge.render.chart.layout import layout_stream
from procforge.render.chart.legend import entries, key, key_document
from procforge.render.chart.lettering import FONT_PT
from procforge.render.chart.svg import PRINT_PT, body_of, compose, title_lines, whole
from procforge.render.chart.tell import tell
from procforge.sheet.chart import Chart

_NARROWEST = 400.0  # a key is no narrower for a narrow chart
_NO_KEY = ("", 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A chart as laid out: `body` is SVG from 0, 0 on, `size` its width and height in points."""

    chart: Chart
    body: str
    size: tuple[float, float]

    def key_document(self) -> str:
        """Its key as a document of its own; empty if it needs none."""
        used = entries([self.chart]) if self.chart.legend else ()
        return key_document(used, max(self.size[0], _NARROWEST))[0] if used else ""

    def tell(self) -> str:
        """The chart in words."""
        return tell(self.chart)

    def svg(self, *, titled: bool = True, keyed: bool = True) -> str:
        """A whole document, with its title over it and its key under it if asked for."""
        used = entries([self.chart]) if keyed and self.chart.legend else ()
        shown = key(used, max(self.size[0], _NARROWEST)) if used else _NO_KEY
        return compose(self.chart, self.body, self.size, self.chart.title if titled else "", shown)

    def print_pt(self, room: tuple[float, float] = PRINT_PT) -> float:
        """Size in points of its letters when it is printed, whole, in `room`; it is not enlarged."""
        used = entries([self.chart]) if self.chart.legend else ()
        _, wide, high = key(used, max(self.size[0], _NARROWEST)) if used else _NO_KEY
        across, down = whole(self.size, title_lines(self.chart.title, self.size[0]), (wide, high))
        return FONT_PT * min(1.0, room[0] / across, room[1] / down)


def lay(charts: Iterable[Chart]) -> list[Drawn]:
    """Each chart laid out, in order, through as few processes as there can be. Raises NoLayout."""
    seen: list[Chart] = []

    def dots() -> Iterable[str]:
        for chart in charts:
            seen.append(chart)
            yield to_dot(chart, titled=False)

    drawn: list[Drawn] = []
    for number, svg in enumerate(layout_stream(dots(), "svg")):
        body, wide, high = body_of(svg, seen[number])
        drawn.append(Drawn(seen[number], body, (wide, high)))
    return drawn


def draw(charts: Sequence[Chart], format: Literal["svg", "png", "dot"]) -> list[bytes]:
    """Each chart drawn with its title and key, in order; the same bytes on every run. Raises NoLayout (not for dot).

    PNG is at 200 dots an inch, less for a chart that would be over 12,000 dots long. DOT is the chart before layout,
    without its key.
    """
    if format == "dot":
        return [to_dot(chart).encode() for chart in charts]
    return pictures(lay(charts), format)


def pictures(drawn: Sequence[Drawn], format: Literal["svg", "png"]) -> list[bytes]:
    """The charts as files, each with title and key."""
    if format == "svg":
        return [one.svg().encode() for one in drawn]
    from procforge.render.chart.raster import rasters

    return rasters(drawn)
