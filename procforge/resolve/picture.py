"""Picture files beside a procedure: where they are, and whether a sheet can show them, told from their own heads.

A picture lies in the folder of the file that names it or below, so that a procedure can be handed on as one folder.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from procforge.model.procedure import Figure
from procforge.syntax.nodes import File, Line

MOST_BYTES = 4_000_000
MOST_PIXELS = 25_000_000
MOST_SIDE = 12_000
_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG = b"\xff\xd8\xff"
_SIZES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}  # the frame heads of ISO/IEC 10918-1
_BARE = frozenset({0x01, *range(0xD0, 0xD9)})  # markers without a length


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture that can be shown: its bytes, and its size in points of the picture."""

    content: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Amiss:
    """Why a picture can't be shown: the rule it breaks, what is the matter, what to do."""

    rule: str
    message: str
    mend: str


class _Broken(Exception):
    """The file is no picture, or not a whole one; the message says which."""


def folder_of(figure: Figure) -> Path:
    """The folder of the file that names the picture."""
    return Path(figure.where.source.path).parent


def read_picture(figure: Figure) -> Picture | Amiss:
    """The picture of a `figure` line, or why it can't be shown."""
    base = folder_of(figure)
    try:
        path = (base / figure.file).resolve()
        inside = path.is_relative_to(base.resolve())
    except (OSError, ValueError, RuntimeError):
        return _missing(figure, "no file can have such a name")
    if not inside:
        return Amiss(
            "figure-outside",
            f"`{figure.file}` leads out of the folder of the procedure",
            "copy the picture into the folder of the file that names it, or below",
        )
    try:
        if path.is_dir():
            return _missing(figure, "it is a folder")
        if not path.is_file():
            return _missing(figure, "there is no such file")
        size = path.stat().st_size
        if size > MOST_BYTES:
            return _large(figure, f"has {size / 1e6:.1f} MB; {MOST_BYTES // 1_000_000} MB is the most")
        content = path.read_bytes()
    except OSError as error:
        return _missing(figure, (error.strerror or "it can't be read").lower())
    try:
        width, height = picture_size(content)
    except _Broken as fault:
        mend = "save the picture again as PNG" if content else "put the picture itself there"
        return Amiss("figure-not-printable", f"`{figure.file}` {fault}", mend)
    if max(width, height) > MOST_SIDE or width * height > MOST_PIXELS:
        return _large(figure, f"has {width} × {height} points; {MOST_PIXELS // 1_000_000} million is the most")
    return Picture(content, width, height)


def pictures_of(file: File) -> Iterator[bytes]:
    """The bytes of the pictures that a file names and a sheet can show, in the order they are named."""
    waiting = list(reversed(file.items))
    while waiting:
        item = waiting.pop()
        if item.form == "figure" and isinstance(item.node, Line):
            named = Figure.make(file=str(item.node.parts[0]), where=item.span(file.source))
            found = read_picture(named)
            if isinstance(found, Picture):
                yield found.content
        inner = [*item.props, *(one for arm in item.arms for one in (arm.head, *arm.body) if one is not item)]
        waiting += reversed(inner)


def _missing(figure: Figure, why: str) -> Amiss:
    return Amiss(
        "figure-not-found",
        f"`{figure.file}` cannot be read: {why}",
        "mend the name, seen from the file that says it, or put the picture there",
    )


def _large(figure: Figure, why: str) -> Amiss:
    return Amiss("figure-not-printable", f"`{figure.file}` {why}", "save a smaller copy: 2000 points across is ample")


def picture_size(content: bytes) -> tuple[int, int]:
    """Width and height of a PNG or JPEG whose parts are all there. Raises _Broken."""
    if content.startswith(_PNG):
        return _png_size(content)
    if content.startswith(_JPEG):
        return _jpeg_size(content)
    if not content:
        raise _Broken("is empty")
    raise _Broken("is no PNG or JPEG")


def _png_size(content: bytes) -> tuple[int, int]:
    """The chunks walked to the last, each with its check sum (ISO/IEC 15948)."""
    size: tuple[int, int] | None = None
    at, data = len(_PNG), False
    while at + 12 <= len(content):
        length, name = struct.unpack(">I4s", content[at : at + 8])
        body = content[at + 8 : at + 8 + length]
        end = at + 12 + length
        if end > len(content) or zlib.crc32(name + body) != struct.unpack(">I", content[end - 4 : end])[0]:
            break
        if name == b"IHDR" and length == 13 and size is None and at == len(_PNG):
            width, height = struct.unpack(">II", body[:8])
            size = (width, height)
        data |= name == b"IDAT"
        if name == b"IEND":
            if size is None or not data or not all(size):
                raise _Broken("is a PNG without a picture")
            return size
        at = end
    raise _Broken("is not a whole PNG: it is cut off or damaged")


def _jpeg_size(content: bytes) -> tuple[int, int]:
    """The markers walked to the frame head (ISO/IEC 10918-1); a sheet takes JFIF and Exif files."""
    if content[6:10] not in (b"JFIF", b"Exif"):
        raise _Broken("is a JPEG of a kind that a Word file cannot show")
    at = 2
    while at + 4 <= len(content) and content[at] == 0xFF:
        marker = content[at + 1]
        if marker == 0xFF or marker in _BARE:
            at += 1 if marker == 0xFF else 2
            continue
        length = struct.unpack(">H", content[at + 2 : at + 4])[0]
        if marker in _SIZES and at + 9 <= len(content):
            height, width = struct.unpack(">HH", content[at + 5 : at + 9])
            if not (width and height) or b"\xff\xd9" not in content[-64:]:
                break
            return (width, height)
        at += 2 + length
    raise _Broken("is not a whole JPEG: it is cut off or damaged")
