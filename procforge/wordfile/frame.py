"""The frame of a sheet: what is printed, without what is filled in. Its digest shows whether the print was altered."""

from __future__ import annotations

import re
from hashlib import sha256
from typing import TYPE_CHECKING
from xml.sax.saxutils import unescape

if TYPE_CHECKING:
    from lxml.etree import _Element

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
#: The start of the name of a hidden bookmark round a blank.
BLANK = "_b"
_CONTROL = re.compile(r"<w:sdt>.*?</w:sdt>", re.DOTALL)
_TOKEN = re.compile(r"(<w:t(?: [^>]*)?>(?=([^<]*))|<w:tab/>|<w:br(?: [^>]*)?/>|</w:p>)")
_QUOTES = {"&quot;": '"', "&apos;": "'"}
_SPACES = re.compile(r"[\s\u00a0\u2000-\u200b\u202f\u205f\u3000\ufeff]+")


def frame_digest(document: _Element) -> str:
    """SHA-256, in hex, of the words of a document's body outside its blanks.

    Spaces are folded and paragraphs without words left out, since word processors add and drop both. A blank is a
    content control, or what stands between the ends of its bookmark where a program dropped the control.
    """
    digest = sha256()
    for line in frame_lines(document):
        digest.update(line.encode() + b"\n")
    return digest.hexdigest()


def frame_lines(document: _Element) -> list[str]:
    """The words of each paragraph of the body outside the blanks, spaces folded, empty ones left out."""
    body = document.find(f"{W}body")
    lines: list[str] = []
    here: list[str] = []
    inside: set[str] = set()
    depth = 0
    events = _events(body if body is not None else document)
    bare = _without_control(events)
    for event, node in events:
        tag = node.tag
        if event == "start":
            if tag == f"{W}sdt":
                depth += 1
            elif tag == f"{W}bookmarkStart" and node.get(f"{W}id") in bare:
                inside.add(node.get(f"{W}id") or "")
            elif tag == f"{W}bookmarkEnd":
                inside.discard(node.get(f"{W}id") or "")
            elif tag in (f"{W}t", f"{W}tab", f"{W}br") and not depth and not inside and _in_run(node):
                here.append((node.text or "") if tag == f"{W}t" else " ")
        elif tag == f"{W}sdt":
            depth -= 1
        elif tag == f"{W}p":
            words = _SPACES.sub(" ", "".join(here)).strip()
            here = []
            if words:
                lines.append(words)
    return lines


def _without_control(events: list[tuple[str, _Element]]) -> set[str]:
    """The bookmarks of blanks whose content control a program dropped; round a control the ends may have moved."""
    around: set[str] = set()
    found: set[str] = set()
    for event, node in events:
        if event == "end":
            continue
        if node.tag == f"{W}bookmarkStart" and (node.get(f"{W}name") or "").startswith(BLANK):
            around.add(node.get(f"{W}id") or "")
            found.add(node.get(f"{W}id") or "")
        elif node.tag == f"{W}bookmarkEnd":
            around.discard(node.get(f"{W}id") or "")
        elif node.tag == f"{W}sdt":
            found -= around
            around.clear()
    return found


def digest_of_markup(markup: str) -> str:
    """`frame_digest` of a body just written by us, from its text: no control in a control, no deletions.

    A sheet of thousands of rows is not parsed again for it; a test holds the two against each other.
    """
    bare = _CONTROL.sub("", markup)
    words = "".join(
        text if mark.startswith(("<w:t>", "<w:t ")) else "\n" if mark == "</w:p>" else " "
        for mark, text in _TOKEN.findall(bare)
    )
    lines = (_SPACES.sub(" ", line).strip() for line in unescape(words, _QUOTES).split("\n"))
    return sha256("".join(f"{line}\n" for line in lines if line).encode()).hexdigest()


def _in_run(node: _Element) -> bool:
    """Whether the node is content, not a tab stop in the properties of a paragraph."""
    parent = node.getparent()
    return parent is not None and parent.tag == f"{W}r"


def _events(root: _Element) -> list[tuple[str, _Element]]:
    from lxml import etree

    skipped = {f"{W}del", f"{W}instrText", f"{W}sdtPr"}
    found: list[tuple[str, _Element]] = []
    hidden = 0
    for event, node in etree.iterwalk(root, events=("start", "end")):
        if not isinstance(node.tag, str):
            continue
        if node.tag in skipped:
            hidden += 1 if event == "start" else -1
        elif not hidden:
            found.append((event, node))
    return found
