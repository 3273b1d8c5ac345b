"""Pictures beside steps: read from disk, numbered through the sheet; one that can't be shown is named in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from io import BytesIO

from procforge.model.procedure import Figure as Given
from procforge.resolve.picture import Picture, read_picture
from procforge.sheet.labels import Labels
from procforge.sheet.outline import Block, Steps, TorqueRecord
from procforge.sheet.rows import Figure, Row, StepRow

#: Points of a photograph to a millimetre: 150 to the inch.
_FINENESS = 150 / 25.4
_WIDEST, _TALLEST = 150.0, 90.0  # mm: a picture stands on one page with its step
_ORIENTATION = 0x0112  # the Exif tag (CIPA DC-008): which way up a camera was held


def pictures(figures: tuple[Given, ...]) -> tuple[Figure, ...]:
    """The figures of a step that can be shown."""
    found = []
    for given in figures:
        picture = read_picture(given)
        if isinstance(picture, Picture):
            words = given.caption or given.file
            content, across, down = _upright(picture)
            width = min(_WIDEST, across / _FINENESS, _TALLEST * across / down)
            found.append(Figure(words, given.caption, png=content, width=round(width, 1)))
    return tuple(found)


def _upright(picture: Picture) -> tuple[bytes, int, int]:
    """A photograph turned as its camera says it was held; else the picture as it is. With its size in points.

    Printing programs do not agree on whether to turn it. What else the camera wrote, such as the place, goes.
    """
    if picture.content[6:10] != b"Exif":
        return picture.content, picture.width, picture.height
    from PIL import Image, ImageOps

    try:
        with Image.open(BytesIO(picture.content)) as image:
            turned = ImageOps.exif_transpose(image) if image.getexif().get(_ORIENTATION, 1) != 1 else image
            out = BytesIO()
            turned.convert("RGB").save(out, "JPEG", quality=90, exif=b"")
            return out.getvalue(), turned.width, turned.height
    except (OSError, SyntaxError, ValueError, TypeError):
        return picture.content, picture.width, picture.height


def missing(figures: tuple[Given, ...]) -> tuple[str, ...]:
    """What a sheet says in place of pictures that can't be shown, so that nobody misses them unawares."""
    return tuple(f"See figure {f.file}: {f.caption}." for f in figures if not isinstance(read_picture(f), Picture))


def numbered(blocks: Iterable[Block], labels: Labels) -> tuple[Block, ...]:
    """The blocks with their figures numbered from 1 in the order they are printed.

    A picture of a step that stands in the sheet already, as in the second round of a repeat, is referred to.
    """
    count = _Count(labels)
    return tuple(count.block(block) for block in blocks)


class _Count:
    def __init__(self, labels: Labels) -> None:
        self.labels = labels
        self.last = 0
        self.known: dict[Figure, str] = {}

    def block(self, block: Block) -> Block:
        match block:
            case Figure():
                return self.figure(block)
            case Steps():
                return replace(block, rows=tuple(self.row(row) for row in block.rows))
            case TorqueRecord():
                return self.torque(block)
        return block

    def row(self, row: Row) -> Row:
        if isinstance(row, Figure):
            return self.figure(row)
        if not isinstance(row, StepRow) or not (row.figures or row.torque):
            return row
        fresh = tuple(figure for figure in row.figures if replace(figure, number="") not in self.known)
        again = [self.known[replace(f, number="")] for f in row.figures if f not in fresh]
        told = tuple(
            self.labels.see_figure.format(number=number).replace(f" {number}", f"\u00a0{number}") for number in again
        )
        shown = tuple(self.figure(figure) for figure in fresh)
        torque = self.torque(row.torque) if row.torque else None
        return replace(row, figures=shown, details=(*row.details, *told), torque=torque)

    def torque(self, record: TorqueRecord) -> TorqueRecord:
        return replace(record, figure=self.figure(record.figure)) if record.figure else record

    def figure(self, figure: Figure) -> Figure:
        self.last += 1
        self.known.setdefault(replace(figure, number=""), str(self.last))
        return replace(figure, number=str(self.last))
