"""The .docx as a package: opened from a template with python-docx, packed again with nothing of the clock in it."""

from __future__ import annotations

import os
import tempfile
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING
from xml.sax.saxutils import quoteattr
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from procforge.render.word.styles import take_styles

if TYPE_CHECKING:
    from docx.document import Document

_PARTS = Path(__file__).parent / "template"
_EPOCH = (1980, 1, 1, 0, 0, 0)
_XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_WML = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006"
_KINDS = "application/vnd.openxmlformats-officedocument.wordprocessingml"
_WORD_PARTS = ("styles", "settings", "fontTable", "theme")


def own_template() -> BytesIO:
    """The template shipped with the package: its styles, settings and fonts round an empty document."""
    parts = {f"word/{name}.xml": (_PARTS / f"{name}.xml").read_bytes() for name in _WORD_PARTS}
    parts["word/document.xml"] = f'{_XML}<w:document xmlns:w="{_WML}"><w:body/></w:document>'.encode()
    parts["word/_rels/document.xml.rels"] = _relations({name: name for name in _WORD_PARTS}, "")
    parts["_rels/.rels"] = _relations({"officeDocument": "document"}, "word/")
    main = f"{_KINDS}.document.main+xml"
    theme = "application/vnd.openxmlformats-officedocument.theme+xml"
    kinds = [("word/document.xml", main)]
    kinds += [(f"word/{name}.xml", theme if name == "theme" else f"{_KINDS}.{name}+xml") for name in _WORD_PARTS]
    parts["[Content_Types].xml"] = _content_types(kinds)
    out = BytesIO()
    with ZipFile(out, "w") as packed:
        for name, data in parts.items():
            packed.writestr(ZipInfo(name, _EPOCH), data)
    out.seek(0)
    return out


def _relations(targets: dict[str, str], folder: str) -> bytes:
    lines = "".join(
        f'<Relationship Id="rId{at}" Type="{_OFFICE}/relationships/{kind}" Target="{folder}{leaf}.xml"/>'
        for at, (kind, leaf) in enumerate(targets.items(), 1)
    )
    space = "http://schemas.openxmlformats.org/package/2006/relationships"
    return f'{_XML}<Relationships xmlns="{space}">{lines}</Relationships>'.encode()


def open_template(path: Path | None) -> Document:
    """A document with our styles, and a customer's in place of ours where `path` is given. Raises TemplateError."""
    import docx

    base = docx.Document(own_template())
    if path is not None:
        take_styles(base, path)
    return base


def pack(document: Document, body: bytes) -> bytes:
    """The whole file: every part the document reaches, sorted by name, dated 1980-01-01, `body` as its main part."""
    package = document.part.package
    items: dict[str, bytes] = {"_rels/.rels": package.rels.xml}
    kinds: list[tuple[str, str]] = []
    for part in package.iter_parts():
        name = str(part.partname).lstrip("/")
        items[name] = body if part is document.part else part.blob
        kinds.append((name, part.content_type))
        if part.rels:
            folder, _, leaf = name.rpartition("/")
            items[f"{folder}/_rels/{leaf}.rels"] = part.rels.xml
    items["[Content_Types].xml"] = _content_types(kinds)
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED, compresslevel=6) as packed:
        for name in sorted(items):
            entry = ZipInfo(name, _EPOCH)
            entry.create_system = 0
            entry.external_attr = 0
            entry.compress_type = ZIP_DEFLATED
            packed.writestr(entry, items[name])
    return out.getvalue()


def _content_types(kinds: list[tuple[str, str]]) -> bytes:
    named = "".join(
        f"<Override PartName={quoteattr('/' + name)} ContentType={quoteattr(kind)}/>" for name, kind in sorted(kinds)
    )
    return (
        f'{_XML}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        f"{named}</Types>"
    ).encode()


def put(path: Path, data: bytes) -> None:
    """Write beside and move into place: never half a file, never a lost old one."""
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
        mask = os.umask(0)
        os.umask(mask)
        Path(beside).chmod(0o666 & ~mask)
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
