"""The mark of the invented plant, drawn by code: a gas holder's dome on its base, with three bubbles in it.

`python tests/site_mark.py FILE` writes it as PNG.
"""

from __future__ import annotations

import struct
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

ACROSS, DOWN = 240, 200
FINE = 4  # samples a pixel each way
GREEN, WHITE = (38, 84, 68), (255, 255, 255)
BUBBLES = ((92, 112, 15), (130, 84, 20), (160, 122, 10))


def _inside(x: float, y: float) -> bool:
    dome = (x - 120) ** 2 + (y - 140) ** 2 <= 108**2 and y <= 140
    bubble = any((x - a) ** 2 + (y - b) ** 2 <= r * r for a, b, r in BUBBLES)
    base = 12 <= x <= 228 and 152 <= y <= 176
    return (dome and not bubble) or base


def pixels(inside: Callable[[float, float], bool] = _inside) -> list[bytes]:
    """Rows of RGB bytes."""
    rows = []
    for y in range(DOWN):
        row = bytearray()
        for x in range(ACROSS):
            hits = sum(inside(x + (i + 0.5) / FINE, y + (j + 0.5) / FINE) for i in range(FINE) for j in range(FINE))
            share = hits / FINE**2
            row += bytes(round(w + (g - w) * share) for g, w in zip(GREEN, WHITE, strict=True))
        rows.append(bytes(row))
    return rows


def png(rows: list[bytes], across: int, down: int) -> bytes:
    """RGB rows as a PNG file."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", across, down, 8, 2, 0, 0, 0)
    body = zlib.compress(b"".join(b"\0" + row for row in rows), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def mark() -> bytes:
    """The whole file."""
    return png(pixels(), ACROSS, DOWN)


if __name__ == "__main__":
    Path(sys.argv[1]).write_bytes(mark())
