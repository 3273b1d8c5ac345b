"""The safety alert symbol of ANSI Z535 (a triangle with an exclamation mark) as a small PNG, drawn here.

No font that ships with every word processor has it in one shape, and a picture prints alike everywhere.
"""

from __future__ import annotations

import struct
import zlib
from functools import cache

_SIDE = 64


@cache
def alert_symbol(triangle: str, mark: str) -> bytes:
    """A PNG of 64 x 64 px: the triangle in one colour, the mark in the other (both rrggbb), the ground clear."""
    fill, ink = bytes.fromhex(triangle), bytes.fromhex(mark)
    lines = bytearray()
    for y in range(_SIDE):
        half: list[bytes] = []
        for x in range(_SIDE // 2):
            px, py = x + 0.5, y + 0.5
            inked = max(_capsule(px, py, 25.0, 39.5, 4.6, 3.2), _disc(px, py, 49.0, 3.9))
            mixed = bytes(round(a + (b - a) * inked) for a, b in zip(fill, ink, strict=True))
            half.append(mixed + bytes((round(255 * _triangle(px, py)),)))
        lines += b"\0" + b"".join(half) + b"".join(reversed(half))
    head = struct.pack(">IIBBBBB", _SIDE, _SIDE, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", zlib.compress(bytes(lines), 9)) + _chunk(b"IEND")
    )


def _chunk(kind: bytes, data: bytes = b"") -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _cover(distance: float) -> float:
    """How much of a pixel lies inside a shape whose edge is `distance` px away (negative: inside)."""
    return min(1.0, max(0.0, 0.5 - distance))


def _triangle(x: float, y: float) -> float:
    """Rounded triangle, apex up: the three half planes of its core, grown by the corner's radius."""
    radius, half, top, foot = 5.0, 25.0, 10.0, 54.0
    left, right, side = (32 - half, foot), (32 + half, foot), foot - top
    norm = (side**2 + half**2) ** 0.5
    lean = (abs(x - 32) * side - (y - top) * half) / norm
    if lean <= 0 and y <= foot:
        return _cover(max(lean, y - foot) - radius)
    ends = ((32.0, top), left, right)
    nearest = min(_to_segment(x, y, a, b) for a, b in zip(ends, ends[1:] + ends[:1], strict=True))
    return _cover(nearest - radius)


def _to_segment(x: float, y: float, a: tuple[float, float], b: tuple[float, float]) -> float:
    ux, uy = b[0] - a[0], b[1] - a[1]
    t = min(1.0, max(0.0, ((x - a[0]) * ux + (y - a[1]) * uy) / (ux * ux + uy * uy)))
    return float(((x - a[0] - t * ux) ** 2 + (y - a[1] - t * uy) ** 2) ** 0.5)


def _capsule(x: float, y: float, top: float, foot: float, wide: float, narrow: float) -> float:
    """The stroke of the mark, a little narrower at its foot."""
    t = min(1.0, max(0.0, (y - top) / (foot - top)))
    near = min(foot, max(top, y))
    return _cover(float(((x - 32) ** 2 + (y - near) ** 2) ** 0.5) - (wide + (narrow - wide) * t))


def _disc(x: float, y: float, centre: float, radius: float) -> float:
    return _cover(float(((x - 32) ** 2 + (y - centre) ** 2) ** 0.5) - radius)
