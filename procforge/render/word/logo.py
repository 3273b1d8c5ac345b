"""The mark of the organisation: its size on the page, and as a picture in a head that has relations of its own."""

from __future__ import annotations

import struct

from procforge.render.word.pictures import inline_picture

EMU_MM = 36_000


def logo_size(png: bytes, wide: float, high: float) -> tuple[int, int]:
    """Width and height in EMU of the largest picture that stays within `wide` x `high` mm and keeps its shape."""
    across, down = struct.unpack(">II", png[16:24])
    scale = min(wide / across, high / down) * EMU_MM
    return int(across * scale), int(down * scale)


def logo_run(relation: str, number: int, png: bytes, alt: str, wide: float, high: float) -> str:
    """A run with the mark, for the part whose relation `relation` leads to it."""
    across, down = logo_size(png, wide, high)
    return inline_picture(relation, number, alt, width=across, height=down)
