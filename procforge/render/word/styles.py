"""A customer's template: fonts, colours and sizes of its styles taken into our own document, and nothing else of it.

Head, foot, page, pictures, macros, links and text of the template stay behind: what is printed on a sheet comes from
the procedure, and a template that fetches something from elsewhere has no way in. Of a style its letters are taken;
its spacing, indents, borders and numbering are not, for our tables and our own numbers rest on ours.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from docx.document import Document
    from lxml.etree import _Element

    from procforge.wordfile.guard import Parts

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_ID, _VAL = f"{W}styleId", f"{W}val"
_COMPOUND = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # an old .doc, or a .docx with a password
_HEADINGS = ("Title", "Heading1", "Heading2", "Heading3")
_NAMES = {
    "title": "Title",
    "heading 1": "Heading1",
    "heading 2": "Heading2",
    "heading 3": "Heading3",
    "normal": "Normal",
}
#: What stands in narrow room is set in our own letters, which were measured: a signal word must not be parted.
MEASURED = frozenset(
    {
        "ProcSignal",
        "ProcNumber",
        "ProcNumberSmall",
        "ProcListHead",
        "ProcCellHead",
        "ProcWhyNot",
        "ProcRole",
        "ProcRunning",
    }
)
_OURS = "Proc"  # the ids of the styles that only a sheet has begin so
#: What is taken of a style's letters: of the body text less, since every line of the sheet rests on it.
_BODY = frozenset(f"{W}{tag}" for tag in ("rFonts", "color"))
_LETTERS = _BODY | {f"{W}{tag}" for tag in ("b", "bCs", "i", "iCs", "caps", "smallCaps", "sz", "szCs")}
_SIZES = (f"{W}sz", f"{W}szCs")
_LARGEST = {"Title": 48}
MOST, LEAST = 36, 20  # half points, of a heading
#: The least contrast with white paper, as WCAG 2 reckons it: of text, of large text.
CONTRAST, CONTRAST_LARGE = 4.5, 3.0


class TemplateError(ValueError):
    """The template given cannot be used; the message says why in plain words."""


def take_styles(document: Document, path: Path) -> None:
    """Put the styles of the template at `path` into our document: body text, title, headings, and its own of ours.

    A style is known by its id, or by its name where its program wrote the id in another language. Raises
    TemplateError.
    """
    from procforge.wordfile.guard import Refused

    try:
        given = _opened(path)
        foreign = given.xml("word/styles.xml")
        theme, fonts = given.xml("word/theme/theme1.xml"), given.xml("word/fontTable.xml")
    except Refused as fault:
        raise TemplateError(f"the template {path} can't be used: {fault}") from fault
    except OSError as fault:
        known = {FileNotFoundError: "there is no such file", IsADirectoryError: "it is a folder"}
        reason = known.get(type(fault)) or (fault.strerror or "it is unreadable").lower()
        raise TemplateError(f"the template {path} can't be read: {reason}") from fault
    if foreign is None or foreign.tag != f"{W}styles":
        raise TemplateError(f"the template {path} can't be used: it has no styles")
    _merge(document.styles.element, foreign)
    for part in document.part.package.iter_parts():
        if theme is not None and str(part.partname).endswith("/theme.xml"):
            blob = given.parts["word/theme/theme1.xml"]
            if b":embed=" not in blob and b":link=" not in blob:  # pictures of a theme stay behind, and it with them
                part._blob = blob
        elif fonts is not None and str(part.partname).endswith("/fontTable.xml"):
            part._blob = _without_files(fonts)


def _opened(path: Path) -> Parts:
    from procforge.wordfile.guard import open_docx

    with path.open("rb") as raw:
        start = raw.read(8)
    if start == _COMPOUND:
        raise TemplateError(
            f"the template {path} has a password, or is of an old form: save it as .docx without a password"
        )
    if path.suffix.lower() in (".docm", ".dotm"):
        raise TemplateError(f"the template {path} may carry macros: save it as .docx")
    return open_docx(path)


def _merge(ours: _Element, foreign: _Element) -> None:
    """The letters of the foreign styles in ours; ours keep their place, spacing and what they rest on."""
    given = _by_id(foreign)
    own = ours.find(f"{W}docDefaults/{W}rPrDefault/{W}rPr")
    face = _picked(own, frozenset({f"{W}rFonts"}), 0) if own is not None else {}
    for style in ours.iterfind(f"{W}style"):
        name = str(style.get(_ID))
        if name in MEASURED and name not in given:
            _put(style, {tag: _bare(part) for tag, part in face.items()}, name)
        if name not in given or not (name in _HEADINGS or name == "Normal" or name.startswith(_OURS)):
            continue
        body = name == "Normal"
        letters = _letters(given, name, _BODY if body else _LETTERS, CONTRAST if body else CONTRAST_LARGE)
        _put(style, letters, name)
    defaults = foreign.find(f"{W}docDefaults/{W}rPrDefault/{W}rPr")
    if defaults is not None and own is not None:
        _replace(own, _picked(defaults, _BODY, CONTRAST))


def _by_id(foreign: _Element) -> dict[str, _Element]:
    """The foreign paragraph styles by our ids; the first of two counts, and an id of ours goes before a name."""
    found: dict[str, _Element] = {}
    named: dict[str, _Element] = {}
    for style in foreign.iterfind(f"{W}style"):
        if style.get(f"{W}type") != "paragraph" or not style.get(_ID):
            continue
        found.setdefault(str(style.get(_ID)), style)
        name = style.find(f"{W}name")
        meant = _NAMES.get(str(name.get(_VAL)).lower()) if name is not None else None
        if meant is None and style.get(f"{W}default") in ("1", "true", "on"):
            meant = "Normal"
        if meant is not None:
            named.setdefault(meant, style)
    return {**named, **found}


def _letters(given: dict[str, _Element], name: str, tags: frozenset[str], contrast: float) -> dict[str, _Element]:
    """What a style and those it rests on say of the letters, the nearest first; the body text is left to `Normal`."""
    found: dict[str, _Element] = {}
    seen: set[str] = set()
    style: _Element | None = given[name]
    while style is not None and (ident := str(style.get(_ID))) not in seen:
        seen.add(ident)
        if given.get("Normal") is style and name != "Normal":
            break
        run = style.find(f"{W}rPr")
        if run is not None:
            found = {**_picked(run, tags, contrast), **found}
        base = style.find(f"{W}basedOn")
        style = given.get(str(base.get(_VAL))) if base is not None else None
    return found


def _picked(run: _Element, tags: frozenset[str], contrast: float) -> dict[str, _Element]:
    """The wanted properties; a colour that white paper would swallow is left behind."""
    found = {str(part.tag): _bare(part) for part in run if part.tag in tags}
    colour = found.get(f"{W}color")
    if colour is not None and _contrast(str(colour.get(_VAL))) < contrast:
        del found[f"{W}color"]
    return found


def _bare(part: _Element) -> _Element:
    """A property with its own attributes and nothing inside."""
    from lxml import etree

    made = etree.Element(part.tag)
    for name, value in part.attrib.items():
        if str(name).startswith(W):
            made.set(name, value)
    return made


def _put(style: _Element, letters: dict[str, _Element], name: str) -> None:
    from lxml import etree

    run = style.find(f"{W}rPr")
    if run is None:
        run = etree.SubElement(style, f"{W}rPr")
    most = _LARGEST.get(name, MOST)
    for tag in _SIZES:
        if tag in letters:
            size = str(letters[tag].get(_VAL))
            letters[tag].set(
                _VAL, str(min(max(int(size), LEAST), most)) if size.isdecimal() and len(size) < 6 else str(LEAST)
            )
    _replace(run, letters)


#: The order of a run's properties in the schema, as far as they occur here.
_ORDER = [f"{W}{tag}" for tag in ("rFonts", "b", "bCs", "i", "iCs", "caps", "smallCaps", "color", "sz", "szCs", "lang")]


def _replace(run: _Element, letters: dict[str, _Element]) -> None:
    parts = {str(part.tag): part for part in run} | letters
    for part in list(run):
        run.remove(part)
    for tag in sorted(parts, key=lambda t: _ORDER.index(t) if t in _ORDER else len(_ORDER)):
        run.append(parts[tag])


def _contrast(colour: str) -> float:
    """Of a colour in hex with white, from 1 to 21 (WCAG 2.1, relative luminance); `auto` is black."""
    try:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    except ValueError:
        return 21.0 if colour == "auto" else 1.0
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


def _without_files(fonts: _Element) -> bytes:
    """The font table without fonts carried in the file, which stay behind."""
    from lxml import etree

    for part in list(fonts.iter(*(f"{W}embed{form}" for form in ("Regular", "Bold", "Italic", "BoldItalic")))):
        parent = part.getparent()
        if parent is not None:
            parent.remove(part)
    return etree.tostring(fonts, xml_declaration=True, encoding="UTF-8", standalone=True)
