"""The pictures of the shipped procedures, drawn by code: `python tests/demo_figures.py` writes them anew."""

from __future__ import annotations

from math import cos, pi, sin
from pathlib import Path

from procforge.render.picture import png
from procforge.sheet.drawing import Circle, Drawing, Line, Polygon, Rect, Shape, Side, Text, Tone, arrow, middle

PROCEDURES = Path(__file__).parent.parent / "procedures"


def gap_places() -> Drawing:
    """Where the gap of a flanged joint is measured: the places on the face, and between which faces."""
    shapes: list[Shape] = [
        Circle(34, 27, 17, Tone.PALE, 0.35, Tone.DARK), Circle(34, 27, 9.5, Tone.WHITE, 0.25, Tone.MID)
    ]  # fmt: skip
    for bolt in range(16):
        turn = 2 * pi * (bolt + 0.5) / 16
        shapes.append(Circle(34 + 13.6 * sin(turn), 27 - 13.6 * cos(turn), 1.3, Tone.LIGHT, 0.2, Tone.DARK))
    for place, name in enumerate("ABCD"):
        turn = pi * place / 2
        x, y = 34 + 21.5 * sin(turn), 27 - 21.5 * cos(turn)
        shapes += [Circle(x, y, 3.0, Tone.DARK, 0.0), Text(x, y + middle(9), name, 9.0, True, Side.MIDDLE, Tone.WHITE)]
    for line, words in enumerate(("seen from", "outside")):
        shapes.append(Text(34, 25.4 + middle(8) + 3.4 * line, words, 8.0, side=Side.MIDDLE))
    # the two flanges cut through, with their raised faces and the gasket between
    for left, name, side in ((77.0, "header flange", -1), (92.6, "end cover", 1)):
        face = left + 10 if side < 0 else left - 1.6
        shapes += [
            Rect(left, 6, 10, 36, Tone.PALE, 0.35, Tone.DARK),
            Rect(face, 14, 1.6, 20, Tone.PALE, 0.35, Tone.DARK),
        ]
        shapes.append(Text(left + 5 + side * 3, 48.5, name, 8.0, side=Side.END if side < 0 else Side.START))
        shapes.append(Line(left + 5, 42, left + 5 + side * 2, 45, 0.2, Tone.DARK))
    shapes.append(Rect(88.7, 17.5, 2.2, 13, Tone.INK, 0.0))
    shapes += [*arrow(82, 11.5, 88.6, 11.5), *arrow(97.6, 11.5, 91.0, 11.5)]
    for x in (88.6, 91.0):
        shapes.append(Line(x, 8, x, 14, 0.2))
    shapes.append(Polygon(((89.8, 9), (96, 3), (106, 3)), None, 0.2, Tone.DARK, closed=False))
    shapes.append(Text(107, 3 + middle(8), "gap between the raised faces", 8.0))
    return Drawing(
        150, 53, tuple(shapes), "Four places on the face of a flange, a quarter of the circle apart, and the gap."
    )


FIGURES = {"flange/gap-places.png": gap_places}

if __name__ == "__main__":
    for name, made in FIGURES.items():
        (PROCEDURES / name).write_bytes(png(made()))
