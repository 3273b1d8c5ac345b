"""What a sheet says of itself to a program: as text, as data in two parts of the file, and as a square code."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from procforge.wordfile.guard import Parts, Refused

if TYPE_CHECKING:
    from lxml.etree import _Element

SCHEMA = "1"
#: The name space of our part, and the prefix of our document properties.
SPACE = "urn:procforge:sheet:1"
PREFIX = "Sheet "
PART, PROPERTIES = "customXml/item1.xml", "docProps/custom.xml"
_VT = "http://schemas.openxmlformats.org/officeDocument/2006/docPropsVTypes"
_CUSTOM = "http://schemas.openxmlformats.org/officeDocument/2006/custom-properties"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'


@dataclass(frozen=True, slots=True)
class Manifest:
    """Which procedure, revision, variant and machine a sheet is for; digests as hex. All are plain text.

    `source` is the digest of the procedure's sources, `frame` that of the words printed, `blanks` how many there are.
    """

    number: str
    revision: str
    model: str = ""
    service: str = ""
    tag: str = ""
    serial: str = ""
    source: str = ""
    frame: str = ""
    blanks: str = ""
    schema: str = SCHEMA

    def items(self) -> list[tuple[str, str]]:
        """Name and value of each field."""
        return [(one.name, str(getattr(self, one.name))) for one in fields(self)]

    def line(self) -> str:
        """One line of text, for the square code; without the frame digest, which is of the words beside it."""
        short = self.source[:16]
        return ";".join(
            ("sheet", self.schema, self.number, self.revision, self.tag or self.model, self.service, self.serial, short)
        )


def as_part(manifest: Manifest) -> bytes:
    """The custom XML part."""
    inside = "".join(f"<{name}>{escape(value)}</{name}>" for name, value in manifest.items())
    return f'{_HEAD}<sheet xmlns="{SPACE}">{inside}</sheet>'.encode()


def as_properties(manifest: Manifest) -> bytes:
    """The custom document properties."""
    rows = "".join(
        f'<property fmtid="{{D5CDD505-2E9C-101B-9397-08002B2CF9AE}}" pid="{at}" name="{PREFIX}{name}">'
        f"<vt:lpwstr>{escape(value)}</vt:lpwstr></property>"
        for at, (name, value) in enumerate(manifest.items(), 2)
    )
    return f'{_HEAD}<Properties xmlns="{_CUSTOM}" xmlns:vt="{_VT}">{rows}</Properties>'.encode()


def manifest_of(parts: Parts) -> Manifest | None:
    """The manifest of a file: from its own part, else from its properties; None where it carries none."""
    for name in sorted(parts.parts):
        if name.startswith("customXml/item") and name.endswith(".xml"):
            try:
                root = parts.xml(name)
            except Refused:
                continue
            if root is not None and root.tag == f"{{{SPACE}}}sheet":
                return _made({_local(child): child.text or "" for child in root})
    root = parts.xml(PROPERTIES)
    if root is None:
        return None
    found = {}
    for row in root:
        name = row.get("name") or ""
        if name.startswith(PREFIX) and len(row):
            found[name.removeprefix(PREFIX)] = row[0].text or ""
    return _made(found)


def _local(node: _Element) -> str:
    return str(node.tag).rpartition("}")[2]


def _made(found: dict[str, str]) -> Manifest | None:
    known = {one.name for one in fields(Manifest)}
    kept = {name: value[:400] for name, value in found.items() if name in known}
    return Manifest(**kept) if kept.get("number") or kept.get("source") else None
