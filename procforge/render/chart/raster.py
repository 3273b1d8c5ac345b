"""Charts as PNG in the few colours of charts, with title and key if asked for; the same bytes on every run.

The layout program draws the chart, in a process of its own and beside this one; title and key are put round it here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING

from procforge.render.chart.dot import to_dot
from procforge.render.chart.drawing import Drawn
from procforge.render.chart.layout import layout_stream
from procforge.render.chart.legend import entries, key_document
from procforge.render.chart.lettering import FONT, width
from procforge.render.chart.shapes import HOLD_FILL, INK, PAPER, STOP_INK
from procforge.render.chart.svg import TITLE_LINE, TITLE_PT, title_lines
from procforge.render.picture.raster import FONTS
from procforge.sheet.chart import Chart

if TYPE_CHECKING:
    from PIL.Image import Image

DPI = 200
_MOST_PX = 12_000  # a side; more than any reader of pictures likes, and memory grows with the square


def rasters(drawn: Sequence[Drawn], *, dpi: int = DPI, dressed: bool = True) -> list[bytes]:
    """Each chart as PNG of 16 colours, with its size in dots a metre; with title and key if `dressed`.

    All at `dpi` dots an inch, less if one would be over 12,000 dots long. Raises NoLayout.
    """
    from PIL import Image

    longest = max((max(one.size) for one in drawn), default=1.0)
    dpi = max(24, min(dpi, int(_MOST_PX * 72 / longest)))
    dots = (to_dot(one.chart, titled=False) for one in drawn)
    out = []
    for one, body in zip(drawn, layout_stream(dots, "png", dpi=dpi), strict=True):
        image = Image.open(BytesIO(body)).convert("RGB")
        out.append(packed(_dressed(one, image, dpi) if dressed else image, dpi))
    return out


@dataclass(frozen=True, slots=True)
class Key:
    """A key as PNG, its width and height in points at full size, and what it explains in words."""

    png: bytes
    size: tuple[float, float]
    alt: str


def key_of(charts: Sequence[Chart], room: float, dpi: int = DPI) -> Key | None:
    """One key for several charts, no wider than `room` points; None if they need none."""
    used = entries(charts)
    if not used:
        return None
    svg, wide, high = key_document(used, room)
    alt = "Key of symbols: " + "; ".join(text for _, text in used) + "."
    return Key(packed(_key(svg, dpi), dpi), (wide, high), alt)


def packed(image: Image, dpi: int) -> bytes:
    """An RGB image as PNG in the colours of charts."""
    from PIL import Image

    out = BytesIO()
    few = image.quantize(palette=_palette(), dither=Image.Dither.NONE)
    few.save(out, "PNG", bits=4, dpi=(dpi, dpi), compress_level=6)
    return out.getvalue()


@lru_cache(maxsize=64)
def _key(svg: str, dpi: int) -> Image:
    """A key as `legend.key_document` gives it, as an RGB image. Raises RuntimeError without the fonts of the package."""
    from PIL import Image
    from resvg_py import svg_to_bytes

    for font in FONTS:
        if not font.is_file():
            raise RuntimeError(f"the font {font.name} is not where it was installed: install procforge again")
    files = [str(font) for font in FONTS]
    plain = svg.replace(f'font-family="{FONT}"', 'font-family="Liberation Sans"')
    return Image.open(
        BytesIO(svg_to_bytes(svg_string=plain, font_files=files, skip_system_fonts=True, dpi=dpi))
    ).convert("RGB")


def _dressed(drawn: Drawn, body: Image, dpi: int) -> Image:
    """The picture with its title over it and its key under it, each in the middle."""
    from PIL import Image, ImageDraw, ImageFont

    dot = dpi / 72
    lines = title_lines(drawn.chart.title, drawn.size[0])
    over = round((len(lines) * TITLE_LINE + 6) * dot) if lines else 0
    svg = drawn.key_document()
    key = _key(svg, dpi) if svg else None
    wide = max(body.width, key.width if key else 0, *(round((width(line, TITLE_PT) + 4) * dot) for line in lines), 0)
    whole = Image.new("RGB", (wide, over + body.height + (key.height + round(8 * dot) if key else 0)), PAPER)
    whole.paste(body, ((wide - body.width) // 2, over))
    if key:
        whole.paste(key, ((wide - key.width) // 2, whole.height - key.height))
    if lines:
        font = ImageFont.truetype(str(FONTS[0]), round(TITLE_PT * dot))
        for number, line in enumerate(lines):
            at = (wide / 2, (number * TITLE_LINE + TITLE_PT) * dot)
            ImageDraw.Draw(whole).text(at, line, fill=INK, font=font, anchor="ms")
    return whole


@lru_cache(maxsize=1)
def _palette() -> Image:
    """16 colours: white to the ink in eight greys, the stop's red in four steps, the hold's yellow to ink in four."""
    from PIL import Image

    white = (255, 255, 255)
    ink, red, yellow = (_rgb(colour) for colour in (INK, STOP_INK, HOLD_FILL))
    colours = [_mix(white, ink, at / 7) for at in range(8)]
    colours += [_mix(white, red, at / 4) for at in range(1, 5)]
    colours += [_mix(yellow, ink, at / 4) for at in range(4)]
    image = Image.new("P", (1, 1))
    image.putpalette([value for colour in colours for value in colour])
    return image


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _mix(one: tuple[int, int, int], other: tuple[int, int, int], share: float) -> tuple[int, int, int]:
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(one, other, strict=True))
    return red, green, blue
