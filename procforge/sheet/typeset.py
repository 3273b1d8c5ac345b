"""Lines of text set under each other in a drawing: broken to a width, measured, placed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from procforge.sheet.drawing import MM_PT, Side, Text, leading, middle
from procforge.sheet.lettering import wrap

Lettered: TypeAlias = tuple[str, float, bool]  # a line of text, its size in points, whether bold


def lettered(texts: Sequence[Lettered], room: float) -> list[Lettered]:
    """Texts (with size and weight) as lines no wider than `room` mm; empty ones are left out."""
    return [
        (line, size, bold) for text, size, bold in texts if text for line in wrap(text, room / MM_PT, size, bold=bold)
    ]


def height_of(lines: Sequence[Lettered]) -> float:
    """The height of some lines in mm."""
    return sum(leading(size) for _, size, _ in lines)


def placed(lines: Sequence[Lettered], x: float, y: float, side: Side = Side.START) -> list[Text]:
    """Lines under each other from the height `y`."""
    shapes: list[Text] = []
    for text, size, bold in lines:
        base = y + leading(size) / 2 + middle(size)
        shapes.append(Text(round(x, 3), round(base, 3), text, size, bold, side))
        y += leading(size)
    return shapes
