"""One file: bytes or text in, a `File` of typed nodes and every mistake of it out."""

from __future__ import annotations

import re
from functools import lru_cache

from procforge.findings import Finding, Outcome
from procforge.syntax.assemble import Assembler
from procforge.syntax.lines import decode, logical_lines
from procforge.syntax.mistakes import worded
from procforge.syntax.nodes import File, Item, Line, Step, Unread, Word
from procforge.syntax.order import BLOCKS
from procforge.text import Source

_PROSE = re.compile(r'\s*"([^"\\\n]*)"\s*$')
_NAMES = re.compile(r"[^\W_][\w-]*")
_OPENERS = {
    "for": "for_each", "any": "any_order", "only": "only_for", "on": "bench", "lend-back": "lend_back",
}  # fmt: skip


@lru_cache(maxsize=20_000)
def _statement(text: str) -> Line | Step:
    """One statement's node; equal texts share it, for a node knows nothing of its line."""
    from procforge.syntax.table import parser

    return parser().parse(text)  # type: ignore[no-any-return]


def parse_bytes(path: str, data: bytes) -> Outcome[File]:
    """A file as it lies on the disk."""
    read = decode(path, data)
    parsed = parse(read.value)
    return Outcome(parsed.value, read.findings + parsed.findings)


def parse(source: Source) -> Outcome[File]:
    """Every statement of the source; a line that can't be read is a finding and a hole, and hides nothing after it."""
    lines = logical_lines(source)
    found: list[Finding] = list(lines.findings)
    build = Assembler(source)
    for line, text in lines.value:
        prose = _PROSE.match(text)
        if prose:
            build.prose(line, Word.at(prose.group(1), 0, prose.start(1), len(prose.group(1)) + 2))
            continue
        try:
            node = _statement(text)
        except Exception as error:
            fault, item, opener = _unread(source, line, text, error)
            found.append(fault)
            build.hole(item, opener)
            continue
        if isinstance(node, Line):
            if node.form == "prose":
                build.prose(line, node.parts[0])  # type: ignore[arg-type]
            else:
                build.add(Item(node.form, node, line))
        else:
            build.add(Item("step", node, line))
    return Outcome(build.finish(), tuple(found + build.findings))


def _unread(source: Source, line: int, text: str, error: Exception) -> tuple[Finding, Item, str]:
    """The finding, the hole, and the block that the broken line would have opened."""
    from lark.exceptions import UnexpectedInput

    if not isinstance(error, UnexpectedInput):
        raise error
    words = tuple(_NAMES.findall(re.sub(r'"[^"\n]*"?', " ", text)))
    first = words[0] if words else ""
    opener = _OPENERS.get(first, first)
    return worded(source, line, text, error), Item("unread", Unread(words, opener), line), opener if _opens(opener) else ""


def _opens(word: str) -> bool:
    return word in BLOCKS or word in ("section", "procedure", "equipment", "end")
