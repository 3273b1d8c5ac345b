"""A drawing as PNG in print resolution, 16 greys; the same drawing gives the same bytes.

Only the fonts of this package are used, so that a picture looks alike on every machine. The drawing program leaves out
text it has no font for without a word: letters that the fonts lack are refused beforehand, and every line of text is
looked for in the picture afterwards.
"""

from __future__ import annotations

from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from procforge.render.picture.vector import FAMILY, svg
from procforge.sheet.drawing import Drawing, Text
from procforge.sheet.lettering import clean

if TYPE_CHECKING:
    from PIL.Image import Image

DPI = 200
FONTS = tuple(Path(__file__).parent / "fonts" / f"LiberationSans-{style}.ttf" for style in ("Regular", "Bold"))
_GREYS = 16
_CONTRAST = 60  # of 255, between the lightest and the darkest point of a line of text


class Unlettered(ValueError):
    """The fonts lack letters of a drawing; the message names them."""


@lru_cache(maxsize=64)
def png(drawing: Drawing) -> bytes:
    """The drawing at `DPI`. Raises Unlettered; RuntimeError if a font is gone or text was not drawn."""
    from PIL import Image
    from resvg_py import svg_to_bytes

    lacking = unlettered("".join(text.text for text in drawing.texts()))
    if lacking:
        raise Unlettered(f"no letters in the fonts of the drawing for {' '.join(lacking)}")
    for font in FONTS:
        if not font.is_file():
            raise RuntimeError(f"the font {font.name} is not where it was installed: install procforge again")
    drawn = svg_to_bytes(
        svg_string=svg(drawing, family=FAMILY),
        font_files=[str(font) for font in FONTS],
        skip_system_fonts=True,
        dpi=DPI,
    )
    image = Image.open(BytesIO(drawn)).convert("L")
    for text in drawing.texts():
        if not _seen(image, text):
            raise RuntimeError(f"the picture lacks its text {text.text!r}")
    step = 255 // (_GREYS - 1)
    indexed = image.point([min(_GREYS - 1, (value + step // 2) // step) for value in range(256)])
    greys = Image.frombytes("P", indexed.size, indexed.tobytes())
    greys.putpalette([value for grey in range(_GREYS) for value in (grey * step,) * 3])
    out = BytesIO()
    greys.save(out, "PNG", bits=4, dpi=(DPI, DPI), compress_level=6)  # 9 takes four times as long for a twentieth less
    return out.getvalue()


def unlettered(text: str) -> tuple[str, ...]:
    """The letters of a text that the fonts lack, each once."""
    from PIL import ImageFont

    rare = {char for char in clean(text) if char > "\u00ff"}
    if not rare:
        return ()
    font = ImageFont.truetype(str(FONTS[0]), 40)
    blank = _mask(font.getmask("\uffff"))
    return tuple(sorted(char for char in rare if _mask(font.getmask(char)) == blank))


def _mask(mask: object) -> tuple[object, bytes]:
    return (mask.size, bytes(mask))  # type: ignore[attr-defined, call-overload]


def _seen(image: Image, text: Text) -> bool:
    """Whether light and dark points stand where the line of text should be."""
    if not text.text.strip():
        return True
    left, top, right, bottom = (value / 25.4 * DPI for value in text.box)
    points = image.crop((int(left), int(top), int(right) + 1, int(bottom) + 1)).tobytes()
    return max(points) - min(points) >= _CONTRAST
