"""A drawing in millimetres that any format can show: lines, circles, rectangles, polygons, text in one typeface.

The origin is the upper left corner, y grows downwards. Tones are greys, so a drawing survives a copier; what they say
is said by shape or word too. A drawing knows what it shows in words (`alt`), for those who cannot see it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import atan2, cos, hypot, sin
from typing import TypeAlias

from procforge.sheet.lettering import width

MM_PT = 25.4 / 72
#: Height of a capital and depth of a descender, as shares of the type size (Arial and what shares its metrics).
CAP, DESCENT = 0.716, 0.212
#: Type that is smaller than this is not read at arm's length.
SMALLEST_PT = 7.0

Box: TypeAlias = tuple[float, float, float, float]  # left, top, right, bottom in mm


class Tone(StrEnum):
    """Greys from black to white, as hex RGB."""

    INK = "#1a1a1a"
    DARK = "#555555"
    MID = "#999999"
    LIGHT = "#cccccc"
    PALE = "#eeeeee"
    WHITE = "#ffffff"


class Side(StrEnum):
    """Which point of a line of text is at its x."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; `stroke` is its width."""

    x1: float
    y1: float
    x2: float
    y2: float
    stroke: float = 0.25
    tone: Tone = Tone.INK
    dashed: bool = False

    @property
    def box(self) -> Box:
        """What it covers."""
        return (min(self.x1, self.x2), min(self.y1, self.y2), max(self.x1, self.x2), max(self.y1, self.y2))


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; without `fill` only its outline, with `stroke` 0 only its fill."""

    x: float
    y: float
    radius: float
    fill: Tone | None = None
    stroke: float = 0.25
    tone: Tone = Tone.INK

    @property
    def box(self) -> Box:
        """What it covers."""
        return (self.x - self.radius, self.y - self.radius, self.x + self.radius, self.y + self.radius)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle, its corners rounded with radius `corner`."""

    x: float
    y: float
    width: float
    height: float
    fill: Tone | None = None
    stroke: float = 0.25
    tone: Tone = Tone.INK
    corner: float = 0.0
    dashed: bool = False

    @property
    def box(self) -> Box:
        """What it covers."""
        return (self.x, self.y, self.x + self.width, self.y + self.height)


@dataclass(frozen=True, slots=True)
class Polygon:
    """Straight lines through points; `closed` joins the last to the first."""

    points: tuple[tuple[float, float], ...]
    fill: Tone | None = None
    stroke: float = 0.25
    tone: Tone = Tone.INK
    closed: bool = True

    @property
    def box(self) -> Box:
        """What it covers."""
        across, down = zip(*self.points, strict=True)
        return (min(across), min(down), max(across), max(down))


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text on the baseline `y`, `size` in points."""

    x: float
    y: float
    text: str
    size: float = 9.0
    bold: bool = False
    side: Side = Side.START
    tone: Tone = Tone.INK

    @property
    def box(self) -> Box:
        """What its letters cover, from the top of the capitals to the foot of the descenders."""
        across = width(self.text, self.size, bold=self.bold) * MM_PT
        left = self.x - {Side.START: 0.0, Side.MIDDLE: across / 2, Side.END: across}[self.side]
        return (left, self.y - CAP * self.size * MM_PT, left + across, self.y + DESCENT * self.size * MM_PT)


Shape: TypeAlias = Line | Circle | Rect | Polygon | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in the order they are drawn, on a white ground of `width` x `height` mm."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    alt: str

    def texts(self) -> Iterator[Text]:
        """The lines of text."""
        yield from (shape for shape in self.shapes if isinstance(shape, Text))


def middle(size: float) -> float:
    """How far below the middle of its capitals a line's baseline is, in mm."""
    return CAP * size * MM_PT / 2


def leading(size: float) -> float:
    """From one baseline to the next, in mm."""
    return size * 1.2 * MM_PT


def arrow(
    x1: float, y1: float, x2: float, y2: float, *, tone: Tone = Tone.INK, stroke: float = 0.3
) -> tuple[Shape, ...]:
    """A line with a filled head at its end; the head is shorter on a short line."""
    way = atan2(y2 - y1, x2 - x1)
    length = min(2.2, hypot(x2 - x1, y2 - y1))
    half = length * 0.38
    foot = (x2 - length * cos(way), y2 - length * sin(way))
    across = (half * -sin(way), half * cos(way))
    head = ((x2, y2), (foot[0] + across[0], foot[1] + across[1]), (foot[0] - across[0], foot[1] - across[1]))
    return (Line(x1, y1, foot[0], foot[1], stroke, tone), Polygon(head, tone, 0.0, tone))
