"""A drawing as SVG: plain shapes in mm, text as text, title and description for those who cannot see it."""

from __future__ import annotations

from html import escape

from procforge.sheet.drawing import MM_PT, Circle, Drawing, Line, Polygon, Rect, Shape, Text, Tone
from procforge.sheet.lettering import clean

FAMILY = "Liberation Sans"
_DASHES = ' stroke-dasharray="1.2 0.8"'


def svg(drawing: Drawing, *, family: str = f"'{FAMILY}', Arial, Helvetica, sans-serif") -> str:
    """The drawing as a document of its own; the same drawing gives the same text."""
    size = f'width="{_n(drawing.width)}mm" height="{_n(drawing.height)}mm"'
    body = "\n".join(_shape(shape) for shape in drawing.shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}"'
        f' role="img" font-family="{escape(family)}">\n<desc>{escape(clean(drawing.alt))}</desc>\n'
        f'<rect width="{_n(drawing.width)}" height="{_n(drawing.height)}" fill="{Tone.WHITE.value}"/>\n{body}\n</svg>\n'
    )


def _shape(shape: Shape) -> str:
    match shape:
        case Line():
            ends = f'x1="{_n(shape.x1)}" y1="{_n(shape.y1)}" x2="{_n(shape.x2)}" y2="{_n(shape.y2)}"'
            return f"<line {ends}{_paint(None, shape.stroke, shape.tone)}{_DASHES * shape.dashed}/>"
        case Circle():
            place = f'cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.radius)}"'
            return f"<circle {place}{_paint(shape.fill, shape.stroke, shape.tone)}/>"
        case Rect():
            place = f'x="{_n(shape.x)}" y="{_n(shape.y)}" width="{_n(shape.width)}" height="{_n(shape.height)}"'
            corner = f' rx="{_n(shape.corner)}"' if shape.corner else ""
            return f"<rect {place}{corner}{_paint(shape.fill, shape.stroke, shape.tone)}{_DASHES * shape.dashed}/>"
        case Polygon():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in shape.points)
            name = "polygon" if shape.closed else "polyline"
            return f'<{name} points="{points}"{_paint(shape.fill, shape.stroke, shape.tone)}/>'
        case Text():
            place = f'x="{_n(shape.x)}" y="{_n(shape.y)}" font-size="{_n(shape.size * MM_PT)}"'
            anchor = f' text-anchor="{shape.side.value}"' if shape.side.value != "start" else ""
            weight = ' font-weight="bold"' if shape.bold else ""
            return f'<text {place}{anchor}{weight} fill="{shape.tone.value}">{escape(clean(shape.text), quote=False)}</text>'


def _paint(fill: Tone | None, stroke: float, tone: Tone) -> str:
    line = f' stroke="{tone.value}" stroke-width="{_n(stroke)}"' if stroke else ""
    return f' fill="{fill.value if fill else "none"}"{line}'


def _n(value: float) -> str:
    """A number with at most three digits behind the point, and no more than it needs."""
    return f"{value:.3f}".rstrip("0").rstrip(".")
