"""A .docx from outside opened without trusting it: every limit is checked before anything is parsed.

Parsers alone stop entity bombs, but not millions of empty elements in a small file, two parts of one name, macros, or
pictures fetched from elsewhere. So: sizes and counts are capped while reading (headers lie), names are plain, text is
UTF-8, there is no DOCTYPE, no macro and nothing outside the file; then lxml without entities, network and huge trees.
"""

from __future__ import annotations

import re
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile

if TYPE_CHECKING:
    from lxml.etree import _Element

MEGA = 1_000_000
MOST_FILE, MOST_PART, MOST_TOTAL, MOST_PARTS = 20 * MEGA, 8 * MEGA, 24 * MEGA, 400
MOST_ELEMENTS = 400_000
_NAME = re.compile(r"(?:\[Content_Types\]|[\w .~%+-]+(?:/[\w .~%+-]+)*)(?:\.\w+)?/?\Z")
_DECLARED = re.compile(rb"<\?xml[^>]*encoding\s*=\s*['\"]([A-Za-z0-9._-]+)['\"]")
_OUTSIDE = re.compile(rb"TargetMode\s*=\s*['\"]External['\"]", re.IGNORECASE)
_LINK = re.compile(rb"<Relationship\b[^>]*>")
_MACRO = ("vbaproject", "vbadata", "activex", "oleobject", "embeddings/")
_XML = (".xml", ".rels")


class Refused(Exception):
    """The file is not read; the message says why in plain words."""


@dataclass(frozen=True, slots=True)
class Parts:
    """The parts of a guarded file by name."""

    parts: dict[str, bytes]

    def xml(self, name: str) -> _Element | None:
        """A part parsed, None where the file has none. Raises Refused for one that is no XML or too large."""
        data = self.parts.get(name)
        return None if data is None else parse(data, name)


def parse(data: bytes, name: str = "the file") -> _Element:
    """XML without entities, network and huge trees. Raises Refused."""
    from lxml import etree

    if data.count(b"<") > 2 * MOST_ELEMENTS:
        raise Refused(f"{name} holds more than {MOST_ELEMENTS} elements")
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, huge_tree=False, load_dtd=False, remove_comments=True
    )
    try:
        return etree.fromstring(data, parser)
    except etree.XMLSyntaxError as fault:
        raise Refused(f"{name} is no XML that can be read: {str(fault)[:120]}") from fault


def open_docx(path: Path) -> Parts:
    """The parts of a .docx. Raises Refused for one that is none, or that could do harm; OSError from the disk."""
    size = path.stat().st_size
    if size > MOST_FILE:
        raise Refused(f"the file has {size // MEGA} MB; at most {MOST_FILE // MEGA} are read")
    if not path.is_file():
        raise Refused("it is not a file")
    try:
        with path.open("rb") as raw, ZipFile(raw) as packed:
            return Parts(_read(packed))
    except (BadZipFile, zlib.error, EOFError, NotImplementedError, UnicodeDecodeError, ValueError) as fault:
        raise Refused("it is no .docx, or a damaged one") from fault


def _read(packed: ZipFile) -> dict[str, bytes]:
    entries = packed.infolist()
    if len(entries) > MOST_PARTS:
        raise Refused(f"the file has {len(entries)} parts; at most {MOST_PARTS} are read")
    found: dict[str, bytes] = {}
    folded: set[str] = set()
    total = 0
    for entry in entries:
        name = entry.filename
        _name_fault(name)
        if name.casefold() in folded:
            raise Refused(f"the part {name[:60]} stands twice")
        folded.add(name.casefold())
        if entry.is_dir():
            continue
        if entry.flag_bits & 0x1:
            raise Refused("the file is encrypted")
        if entry.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            raise Refused(f"the part {name[:60]} is packed in a way that is not read")
        if any(word in name.casefold() for word in _MACRO):
            raise Refused(f"the file carries a macro or an embedded program: {name[:60]}")
        with packed.open(entry) as part:
            data = part.read(MOST_PART + 1)
        total += len(data)
        if len(data) > MOST_PART or total > MOST_TOTAL:
            raise Refused("the file is larger inside than is read")
        if name.casefold().endswith(_XML):
            _text_fault(name, data)
        found[name] = data
    if "word/document.xml" not in found:
        raise Refused("it is no Word document: it has no word/document.xml")
    return found


def _name_fault(name: str) -> None:
    if "\\" in name or name.startswith("/") or ".." in name.split("/") or not _NAME.match(name):
        raise Refused(f"a part has a name that leads elsewhere: {name[:60]!r}")


def _text_fault(name: str, data: bytes) -> None:
    """What no part of a plain document has."""
    declared = _DECLARED.match(data.removeprefix(b"\xef\xbb\xbf")[:200])
    if declared and declared[1].lower() not in (b"utf-8", b"us-ascii", b"ascii"):
        raise Refused(f"the part {name[:60]} is not in UTF-8")
    if b"\0" in data:
        raise Refused(f"the part {name[:60]} holds bytes that are no text")
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        raise Refused(f"the part {name[:60]} is not in UTF-8") from fault
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        raise Refused(f"the part {name[:60]} declares entities")
    if name.casefold().endswith(".rels") and _OUTSIDE.search(data):
        for link in _LINK.findall(data):
            if _OUTSIDE.search(link) and b"/hyperlink" not in link:
                raise Refused(f"the file refers to something outside of it, in {name[:60]}")
