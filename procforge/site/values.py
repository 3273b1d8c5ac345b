"""What is wrong with a text or a picture of a profile: reason and mend, or None."""

from __future__ import annotations

import struct
from string import Formatter

Fault = tuple[str, str]
PNG = b"\x89PNG\r\n\x1a\n"
MOST_LINE = 80
MOST_LABEL = 240
MOST_LOGO = 1_000_000  # bytes
MOST_ACROSS = 4_000  # px


def fault_in_line(text: str, most: int = MOST_LINE) -> Fault | None:
    """One line of words that can be printed."""
    if any(not letter.isprintable() for letter in text):
        return "has a line end or another sign that can't be printed", "write it in one line"
    if len(text) > most:
        return f"has {len(text)} characters", f"write {most} at most"
    return None


def fault_in_label(text: str, own: str) -> Fault | None:
    """A label in place of our `own`: one line, not empty, with the same gaps (`{number}`)."""
    if not text.strip():
        return "is empty", f"write a text, or take the line out: “{own}” is printed then"
    if fault := fault_in_line(text, MOST_LABEL):
        return fault
    try:
        gaps = gaps_of(text)
    except ValueError:
        return "has a brace that opens no gap", "write a brace twice to have it printed"
    wanted = gaps_of(own)
    if gaps != wanted:
        named = " and ".join(f"{{{gap}}}" for gap in sorted(wanted))
        reason = f"has the gap {{{next(iter(sorted(gaps - wanted)))}}}" if gaps - wanted else f"lacks {named}"
        return reason, f"keep {named} in it" if wanted else "this label has no gaps: write it without braces"
    return None


def gaps_of(text: str) -> frozenset[str]:
    """The names in braces; ValueError for a brace that is no gap, or a gap with a form of its own."""
    found = set()
    for _, name, form, turn in Formatter().parse(text):
        if name is not None:
            if not name.isidentifier() or form or turn:
                raise ValueError(name)
            found.add(name)
    return frozenset(found)


def fault_in_png(content: bytes) -> Fault | None:
    """A PNG small enough for every page of a sheet."""
    if not content.startswith(PNG) or len(content) < 33 or content[12:16] != b"IHDR" or b"IEND" not in content[-16:]:
        return "is no whole PNG picture", "save it as PNG"
    if len(content) > MOST_LOGO:
        return f"has {len(content)} bytes", f"save it with {MOST_LOGO} at most: it stands on every page"
    across, down = struct.unpack(">II", content[16:24])
    if not (0 < across <= MOST_ACROSS and 0 < down <= MOST_ACROSS):
        return f"is {across} by {down} pixels", f"save it with {MOST_ACROSS} at most each way"
    if across > 12 * down or down > 3 * across:
        return f"is {across} by {down} pixels: too thin for a head", "cut it nearer to a square"
    return None
