"""What every drawing must keep: inside its frame, no line of text on another, type that can be read."""

from __future__ import annotations

from itertools import combinations

from procforge.sheet.drawing import SMALLEST_PT, Box, Drawing, Line, Rect, Text

SLACK = 0.05  # mm


def overlap(one: Box, other: Box) -> bool:
    """Whether two boxes share more than an edge."""
    return (
        one[0] < other[2] - SLACK
        and other[0] < one[2] - SLACK
        and one[1] < other[3] - SLACK
        and other[1] < one[3] - SLACK
    )


def capitals(text: Text) -> Box:
    """The box of a line without its descenders, which may reach between the capitals of the next."""
    left, top, right, _ = text.box
    return (left, top, right, text.y)


def faults(drawing: Drawing) -> list[str]:
    """What is wrong with a drawing, in words."""
    found = []
    for shape in drawing.shapes:
        left, top, right, bottom = shape.box
        if left < -SLACK or top < -SLACK or right > drawing.width + SLACK or bottom > drawing.height + SLACK:
            found.append(f"outside the frame: {shape}")
    texts = list(drawing.texts())
    found += [f"too small: {text}" for text in texts if text.size < SMALLEST_PT]
    found += [
        f"on each other: {one.text!r} and {other.text!r}"
        for one, other in combinations(texts, 2)
        if overlap(capitals(one), capitals(other))
    ]
    if not drawing.alt.strip():
        found.append("nothing for those who cannot see it")
    return found


def crossed(drawing: Drawing) -> list[str]:
    """Lines of text that a rule or the edge of a box drawn after them runs through."""
    found = []
    for at, text in enumerate(drawing.shapes):
        if isinstance(text, Text):
            box = capitals(text)
            for later in drawing.shapes[at + 1 :]:
                if isinstance(later, Line) and overlap(_fat(later.box), box):
                    found.append(f"{text.text!r} crossed by {later}")
                if isinstance(later, Rect) and later.fill and overlap(later.box, box):
                    found.append(f"{text.text!r} covered by {later}")
    return found


def _fat(box: Box) -> Box:
    return (box[0] - 0.1, box[1] - 0.1, box[2] + 0.1, box[3] + 0.1)
