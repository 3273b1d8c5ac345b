"""A blank as a run-level content control with tag, title and a hidden bookmark round it, and as an entry cell.

Run level, because other levels are lost or moved by some programs; the bookmark, because some drop the tag.
"""

from __future__ import annotations

from procforge.render.word.marks import Marks, name_of
from procforge.render.word.markup import ENTRY, IDLE, cell, esc, para, run
from procforge.sheet.inline import Blank, BlankKind

BOX = "\u2610"
SYMBOLS = "MS Gothic"
_ROOM = "\u2002" * 6
_TIGHT = "\u2002" * 2
_NARROW = 1400  # twips of a cell in which room and unit would take two lines
_WIDE = "\u2002" * 14
_TICK = (
    f'<w14:checkbox><w14:checked w14:val="0"/><w14:checkedState w14:val="2612" w14:font="{SYMBOLS}"/>'
    f'<w14:uncheckedState w14:val="2610" w14:font="{SYMBOLS}"/></w14:checkbox>'
)
_DATE = (
    '<w:date><w:dateFormat w:val="yyyy-MM-dd"/><w:lid w:val="en-GB"/><w:storeMappedDataAs w:val="date"/>'
    '<w:calendar w:val="gregorian"/></w:date>'
)


def control(
    marks: Marks,
    blank: Blank,
    where: str = "",
    *,
    size: int = 0,
    ruled: bool = False,
    stacked: bool = False,
    tight: bool = False,
) -> str:
    """The control itself, to stand in a paragraph; `where` ("4.3") goes before its label in the title.

    `ruled` underlines the room to write in, for a blank inside a line of words; `stacked` puts each box of a choice
    on a line of its own; `tight` leaves little room, for a narrow cell that its unit shares.
    """
    names = marks.control(blank.id, f"{where} {blank.label or blank.kind.value}".strip())
    if blank.kind is BlankKind.TICK:
        props, inside = f"{names}{_TICK}", run(BOX, size=size or 32, font=SYMBOLS)
    elif blank.kind is BlankKind.CHOICE:
        items = "".join(
            f'<w:listItem w:displayText="{esc(choice)}" w:value="{esc(choice)}"/>'
            for choice in dict.fromkeys(choice.strip() for choice in blank.choices)
        )
        # The boxes are the list's placeholder: ticked with a pen on paper, replaced by the choice made on a screen.
        between = "<w:r><w:br/></w:r>" if stacked else run("   ", size=size)
        inside = between.join(_option(choice, size) for choice in blank.choices)
        props = f"{names}<w:showingPlcHdr/><w:dropDownList>{items}</w:dropDownList>"
    else:
        kind = _DATE if blank.kind is BlankKind.DATE else "<w:text/>"
        if blank.kind is BlankKind.TEXT:
            kind = '<w:text w:multiLine="1"/>'
        room = _TIGHT if tight else _WIDE if blank.kind in (BlankKind.TEXT, BlankKind.SIGN) else _ROOM
        line = (
            "<w:rPr>" + (f'<w:sz w:val="{size}"/>' if size else "") + '<w:u w:val="single"/></w:rPr>' if ruled else ""
        )
        inside = f'<w:r>{line}<w:t xml:space="preserve">{room}</w:t></w:r>'
        props = f"{names}<w:showingPlcHdr/>{kind}"
    sdt = f"<w:sdt><w:sdtPr>{props}</w:sdtPr><w:sdtContent>{inside}</w:sdtContent></w:sdt>"
    return marks.bookmark(name_of("b", blank.id), sdt)


def _option(choice: str, size: int) -> str:
    """One box and its word; no-break spaces keep the two together."""
    words = choice.strip().replace(" ", "\u00a0") if len(choice) < 40 else choice.strip()
    return run(BOX, size=size or 28, font=SYMBOLS) + run(f"\u00a0{words}", size=size)


def unit_run(blank: Blank) -> str:
    """The printed unit behind an entry."""
    return run(f"\u00a0{blank.unit}") if blank.unit else ""


def tick_cell(
    marks: Marks,
    blank: Blank | None,
    width: int,
    where: str,
    *,
    span: int = 1,
    keep: bool = False,
    borders: str = "",
    size: int = 0,
) -> str:
    """A cell with the place-keeping box in its middle, or an empty cell."""
    inside = control(marks, blank, where, size=size) if blank else ""
    return cell(width, para(inside, "ProcTick", keep=keep, align="center"), span=span, borders=borders, middle=True)


def entry_cell(
    marks: Marks,
    blank: Blank | None,
    width: int,
    where: str = "",
    *,
    span: int = 1,
    keep: bool = False,
    label: bool = False,
    borders: str = "",
    size: int = 0,
    unit: bool = True,
) -> str:
    """A tinted cell to write in, with the label small above it if asked; without a blank an empty grey one.

    Without `unit` the head of the column says it.
    """
    if blank is None:  # grey: nothing is asked for here
        return cell(width, para("", "ProcEntry", keep=keep), span=span, fill=IDLE, borders=borders)
    if blank.kind is BlankKind.TICK:
        inside = para(control(marks, blank, where), "ProcTick", keep=keep, align="center")
    else:
        said = unit_run(blank) if unit else ""
        words = control(marks, blank, where, size=size, tight=bool(said) and width < _NARROW) + said
        inside = para(words, "ProcEntry", keep=keep, align="right" if said else "")
    if label and blank.label:
        inside = para(run(blank.label), "ProcEntryLabel", keep=keep) + inside
    return cell(width, inside, span=span, fill=ENTRY, borders=borders, middle=not label)
