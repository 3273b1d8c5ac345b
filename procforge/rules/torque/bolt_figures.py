"""What the engineering tables know of a fastener of the machine file; asked for only where a rule needs it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from procforge.model.equipment import Fastener
from procforge.text import Span

if TYPE_CHECKING:
    from procforge.engineering.base import Outside
    from procforge.engineering.friction import Friction
    from procforge.engineering.strength import Strength
    from procforge.engineering.threads import Thread

# threads that have no strength class or torque table: pipe, trapezoidal, Whitworth, left-hand, gas cylinder threads
_OTHER_THREAD = re.compile(r"(G|Rp|R|Rc|Tr|NPT|NPTF|BSPP|BSPT|BSW|BSF|W|UNEF|S)\s*[\d/]|.*\b(LH|left)\b", re.I)
_RARE = re.compile(r"M\d{1,3}(\.\d)?(x\d(\.\d+)?)?", re.I)
_COATING = re.compile(r"^(astm\s*)?a\d{3}m?-|\s*\+.*$", re.I)
# nut classes of ISO 898-2 and A194, inch nut grades, stainless classes of ISO 3506, studs of A193 and A320
_OTHER_CLASS = re.compile(
    r"(0?[4-9]|1[02])|[AC][1-5][- ]?\d{2,3}|(astm\s*)?(a\d{3}m?\s*)?(grade\s*)?(2HM?|4|7M?|8M?|B8[MCT]?|B16|B6|B5|L7M?|L43|660|[ABC])"
    r"|\d{3}(/\d{3})?",
    re.I,
)


def thread_of(item: Fastener) -> Thread | Outside | None:
    """The thread; None where none is given, or it is of a family or size that the tables leave out."""
    from procforge.engineering.base import Outside
    from procforge.engineering.threads import read_thread

    if not item.thread or _OTHER_THREAD.match(item.thread):
        return None
    found = read_thread(item.thread)
    return None if isinstance(found, Outside) and _RARE.fullmatch(item.thread) else found


def strength_of(item: Fastener) -> Strength | Outside | None:
    """The strength; None without a class, for a nut's or stainless class, or where the thread is not known."""
    from procforge.engineering.base import Outside
    from procforge.engineering.strength import read_strength

    thread = thread_of(item)
    if not item.strength or thread is None or isinstance(thread, Outside) or _OTHER_CLASS.fullmatch(item.strength):
        return None
    name = _COATING.sub("", item.strength)
    found = read_strength(name, thread)
    # a class of the table, for a size beyond it: bought by a standard of its own
    return None if isinstance(found, Outside) and "gives no" in found.message else found


def friction_of(item: Fastener) -> Friction | Outside | None:
    """The friction of the lubricant named in a word; None for one in prose, and where none is named."""
    from procforge.engineering.friction import friction_of as find

    if not item.lubricant or len(item.lubricant.split()) > 2:
        return None
    return find(item.lubricant)


def line_of(item: Fastener) -> Span:
    """The line that gives number, thread, class and lubricant."""
    source = item.where.source
    for number in range(item.where.line + 1, min(item.where.line + 30, len(source.lines)) + 1):
        text = source.line(number).partition("#")[0].rstrip()
        if re.match(r"\s*\d+\s*x\s", text):
            start = len(text) - len(text.lstrip())
            return Span(source, number, start + 1, len(text) - start)
    return item.where
