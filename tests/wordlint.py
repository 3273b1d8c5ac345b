"""A lint of our own for Word files: what the schema checker lets through and a reader stumbles on.

Reads the package with zipfile and lxml and shares no code with the writer. Each check gives lines `name: what`; names
are those of `CHECKS`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from io import BytesIO
from zipfile import ZipFile

from lxml import etree

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
R = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
WP = "{http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing}"
LONGEST_TAG, LONGEST_BOOKMARK = 64, 40  # what Word keeps, from memory

Parts = dict[str, etree._Element]


def lint(data: bytes) -> list[str]:
    """Every fault found in a .docx, as `name: what`."""
    with ZipFile(BytesIO(data)) as packed:
        names = [name for name in packed.namelist() if name.endswith((".xml", ".rels"))]
        parts = {name: etree.fromstring(packed.read(name)) for name in names}
    return [f"{name}: {what}" for name, check in CHECKS.items() for what in check(parts)]


def _body(parts: Parts) -> etree._Element:
    return parts["word/document.xml"]


def _printed(parts: Parts) -> Iterator[tuple[str, etree._Element]]:
    """The body, the heads and the feet."""
    for name, root in parts.items():
        if root.tag in (f"{W}document", f"{W}hdr", f"{W}ftr"):
            yield name, root


def _val(node: etree._Element | None, name: str = "val") -> str:
    return "" if node is None else str(node.get(f"{W}{name}", ""))


def _number(node: etree._Element | None, name: str, default: int = -1) -> int:
    text = _val(node, name)
    return int(text) if text.lstrip("-").isdigit() else default


def _twice(found: list[str]) -> list[str]:
    return [name for name, count in Counter(found).items() if count > 1]


def _ids(parts: Parts) -> Iterator[str]:
    body = _body(parts)
    kinds = {
        "control id": [_val(node.find(f"{W}id")) for node in body.iter(f"{W}sdtPr")],
        "control tag": [_val(node) for node in body.iter(f"{W}tag")],
        "control title": [_val(node) for node in body.iter(f"{W}alias")],
        "bookmark id": [_val(node, "id") for node in body.iter(f"{W}bookmarkStart")],
        "bookmark name": [_val(node, "name").lower() for node in body.iter(f"{W}bookmarkStart")],
        "picture id": [str(node.get("id")) for node in body.iter(f"{WP}docPr")],
    }
    for kind, found in kinds.items():
        yield from (f"{kind} {name} stands twice" for name in _twice(found))


def _bookmarks(parts: Parts) -> Iterator[str]:
    open_now: set[str] = set()
    for node in _body(parts).iter(f"{W}bookmarkStart", f"{W}bookmarkEnd"):
        number = _val(node, "id")
        if node.tag == f"{W}bookmarkStart":
            open_now.add(number)
        elif number in open_now:
            open_now.remove(number)
        else:
            yield f"end of {number} without its start"
    yield from (f"{number} is never closed" for number in open_now)


def _anchors(parts: Parts) -> Iterator[str]:
    places = {_val(node, "name") for node in _body(parts).iter(f"{W}bookmarkStart")}
    for node in _body(parts).iter(f"{W}hyperlink"):
        if node.get(f"{W}anchor") is not None and _val(node, "anchor") not in places:
            yield f"link to {_val(node, 'anchor')}, which is nowhere"
    for node in _body(parts).iter(f"{W}instrText", f"{W}fldSimple"):
        words = (node.text or _val(node, "instr")).split()
        if len(words) > 1 and words[0] in ("REF", "PAGEREF") and words[1] not in places:
            yield f"field {words[0]} to {words[1]}, which is nowhere"


def _tables(parts: Parts) -> Iterator[tuple[etree._Element, list[int]]]:
    for _, root in _printed(parts):
        for table in root.iter(f"{W}tbl"):
            yield table, [_number(column, "w") for column in table.iterfind(f"{W}tblGrid/{W}gridCol")]


def _spans(parts: Parts) -> Iterator[str]:
    for table, grid in _tables(parts):
        for row in table.iterfind(f"{W}tr"):
            taken = sum(max(1, _number(c.find(f"{W}tcPr/{W}gridSpan"), "val", 1)) for c in row.iterfind(f"{W}tc"))
            if taken != len(grid):
                yield f"a row takes {taken} of {len(grid)} columns: {_words(row)}"


def _widths(parts: Parts) -> Iterator[str]:
    for table, grid in _tables(parts):
        if _number(table.find(f"{W}tblPr/{W}tblW"), "w") != sum(grid):
            yield f"a table is not as wide as its grid: {_words(table)}"
        for row in table.iterfind(f"{W}tr"):
            at = 0
            for cell in row.iterfind(f"{W}tc"):
                span = max(1, _number(cell.find(f"{W}tcPr/{W}gridSpan"), "val", 1))
                if _number(cell.find(f"{W}tcPr/{W}tcW"), "w") != sum(grid[at : at + span]):
                    yield f"a cell is not as wide as its columns: {_words(row)}"
                at += span


def _fields(parts: Parts) -> Iterator[str]:
    for name, root in _printed(parts):
        depth = 0
        for node in root.iter(f"{W}fldChar"):
            kind = _val(node, "fldCharType")
            depth += {"begin": 1, "end": -1}.get(kind, 0)
            if depth < 0 or (kind == "separate" and not depth):
                yield f"{name}: {kind} of a field that was not begun"
                depth = max(depth, 0)
        if depth:
            yield f"{name}: {depth} not ended"


def _lengths(parts: Parts) -> Iterator[str]:
    for name, most in (("tag", LONGEST_TAG), ("alias", LONGEST_TAG)):
        for node in _body(parts).iter(f"{W}{name}"):
            if not 0 < len(_val(node)) <= most:
                yield f"{name} of {len(_val(node))} letters: {_val(node)[:80]}"
    for node in _body(parts).iter(f"{W}bookmarkStart"):
        if not 0 < len(_val(node, "name")) <= LONGEST_BOOKMARK:
            yield f"bookmark of {len(_val(node, 'name'))} letters: {_val(node, 'name')[:80]}"


def _alt(parts: Parts) -> Iterator[str]:
    for name, root in _printed(parts):
        for node in root.iter(f"{WP}docPr"):
            if not str(node.get("descr") or "").strip():
                yield f"{name}: picture {node.get('id')} says nothing to those who cannot see it"


def _language(parts: Parts) -> Iterator[str]:
    styles = parts.get("word/styles.xml")
    lang = styles.find(f"{W}docDefaults/{W}rPrDefault/{W}rPr/{W}lang") if styles is not None else None
    if not _val(lang):
        yield "the document does not say its language"


def _header_rows(parts: Parts) -> Iterator[str]:
    """A table of several rows and columns says which row or column its heads are; the repeated ones come first."""
    for table in _body(parts).iter(f"{W}tbl"):
        rows = list(table.iterfind(f"{W}tr"))
        heads = [row.find(f"{W}trPr/{W}tblHeader") is not None for row in rows]
        look = table.find(f"{W}tblPr/{W}tblLook")
        side = look is not None and look.get(f"{W}firstColumn") in ("1", "true")
        if len(rows) > 1 and max(len(row.findall(f"{W}tc")) for row in rows) > 1 and not heads[0] and not side:
            yield f"no head: {_words(table)}"
        if sorted(heads, reverse=True) != heads:
            yield f"a head row after others: {_words(table)}"


def _headings(parts: Parts) -> Iterator[str]:
    styles = parts["word/styles.xml"]
    levels = {
        _val(style, "styleId"): _number(style.find(f"{W}pPr/{W}outlineLvl"), "val") + 1
        for style in styles.iter(f"{W}style")
    }
    before = 0
    for paragraph in _body(parts).iter(f"{W}p"):
        level = levels.get(_val(paragraph.find(f"{W}pPr/{W}pStyle")), 0)
        if level > before + 1:
            yield f"level {level} after {before}: {_words(paragraph)}"
        if level and not _words(paragraph):
            yield f"a heading of level {level} without words"
        before = level or before


def _relations(parts: Parts) -> Iterator[str]:
    for name, root in _printed(parts):
        folder, _, leaf = name.rpartition("/")
        rels = parts.get(f"{folder}/_rels/{leaf}.rels")
        known = {str(rel.get("Id")) for rel in rels} if rels is not None else set()
        for node in root.iter():
            for attribute in ("embed", "id", "link"):
                used = node.get(f"{R}{attribute}")
                if used is not None and used not in known:
                    yield f"{name}: {used} leads to no part"


def _words(node: etree._Element) -> str:
    return " ".join("".join(node.itertext(f"{W}t")).split())[:60]


CHECKS: dict[str, Callable[[Parts], Iterator[str]]] = {
    "ids": _ids,
    "bookmarks": _bookmarks,
    "anchors": _anchors,
    "spans": _spans,
    "widths": _widths,
    "fields": _fields,
    "lengths": _lengths,
    "alt": _alt,
    "language": _language,
    "header rows": _header_rows,
    "headings": _headings,
    "relations": _relations,
}
