"""What a statement that cannot be made sense of may have meant."""

from __future__ import annotations

import re

from procforge.syntax.nodes import Item
from procforge.text import Source

_QUOTED = re.compile(r'"[^"]*"?|#.*')
_NAME = re.compile(r"[^\W_][\w-]*")


def names_in(source: Source, item: Item) -> list[str]:
    """All names in the lines of a statement and of those inside it."""
    last, inside = item.line, [item]
    while inside:
        entry = inside.pop()
        last = max(last, entry.line, *(p.line for p in entry.props))
        inside += [i for arm in entry.arms for i in (arm.head, *arm.body) if i is not entry]
    while source.line(last).rstrip().endswith(","):
        last += 1
    return [n for i in range(item.line, last + 1) for n in _NAME.findall(_QUOTED.sub(" ", source.line(i)))]
