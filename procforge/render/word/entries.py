"""What is written down at a step: short entries share a row, long ones have a row of their own."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from procforge.render.word.bars import Widths, stem
from procforge.render.word.blanks import control, unit_run
from procforge.render.word.desk import Desk
from procforge.render.word.markup import ENTRY, PALE, border, cell, para, row, run
from procforge.sheet.inline import Blank, BlankKind, Prose, limit_words, plain
from procforge.sheet.rows import StepRow

_SLOTS = {2: ((1, 3), (3, 7)), 3: ((1, 3), (3, 4), (4, 7))}  # grid columns from, to
_BROAD = 18  # a choice of more letters has a row of its own
_INSTRUMENT = (BlankKind.SERIAL, BlankKind.DATE)


def under(level: int, *, below: bool = False, above: bool = False) -> str:
    """Borders of a number cell: none towards the step's own further rows."""
    return (border("top") if above else "") + stem(level) + (border("bottom") if below else "")


def own_limit(step: StepRow) -> Blank | None:
    """The one reading that the step's limit is for; with several each has its own."""
    readings = [blank for blank in step.blanks if blank.kind is BlankKind.READING]
    return readings[0] if len(readings) == 1 and step.limit else None


def entry_rows(desk: Desk, step: StepRow, widths: Widths, indent: int) -> str:
    """A row for each group of blanks; all are kept with the step before them."""
    own = own_limit(step)
    groups = grouped(step.blanks)
    out = ""
    for at, group in enumerate(groups):
        keep = at < len(groups) - 1 or step.torque is not None
        limits = [step.limit if blank is own else limit_words(blank) for blank in group]
        if len(group) == 1:
            out += _single(desk, group[0], limits[0], step, widths, indent, keep=keep)
        else:
            out += _shared(desk, group, limits, step, widths, keep=keep)
    return out


def broad(blank: Blank) -> bool:
    """Whether a blank needs the width of a row."""
    return blank.kind in (BlankKind.TEXT, BlankKind.SIGN) or sum(map(len, blank.choices)) > _BROAD


def grouped(blanks: Sequence[Blank]) -> list[tuple[Blank, ...]]:
    """The blanks in their order, row by row: up to three a row, an instrument's apart from the values read at it."""
    out: list[tuple[Blank, ...]] = []
    for alone, run_of in groupby(blanks, broad):
        some = tuple(run_of)
        if alone:
            out += [(blank,) for blank in some]
        elif len(some) <= 3 and not any(blank.choices for blank in some):
            out.append(some)
        else:
            out += [part for family in _families(some) for part in _even(family)]
    return out


def _families(blanks: tuple[Blank, ...]) -> list[tuple[Blank, ...]]:
    """Instruments, values; a result goes with a value that stands alone before it."""
    found = [tuple(some) for _, some in groupby(blanks, lambda one: (one.kind in _INSTRUMENT, bool(one.choices)))]
    out: list[tuple[Blank, ...]] = []
    for some in found:
        joins = len(some) == 1 and some[0].choices and out and len(out[-1]) == 1
        if joins:
            out[-1] += some
        else:
            out.append(some)
    return out


def _even(some: tuple[Blank, ...]) -> list[tuple[Blank, ...]]:
    """Rows of three, the last two even: four as two and two; choices two a row."""
    most = 2 if any(blank.choices for blank in some) else 3
    out = []
    while len(some) > most:
        take = 2 if len(some) == 4 else most
        out.append(some[:take])
        some = some[take:]
    return [*out, some]


def _shared(
    desk: Desk, group: Sequence[Blank], limits: Sequence[Prose], step: StepRow, widths: Widths, *, keep: bool
) -> str:
    """Two or three entries side by side, each under its label; a label does not say again what the one before said."""
    cells = cell(widths[0], para("", "ProcEntry", keep=keep), borders=under(step.level, above=True, below=keep))
    said = ""
    for blank, limit, (start, stop) in zip(group, limits, _SLOTS[len(group)], strict=True):
        name = blank.label
        head, colon, rest = name.partition(": ")
        if colon and head == said:
            name = rest[:1].upper() + rest[1:]
        said = head if colon else ""
        words = control(desk.marks, blank, step.number) + unit_run(blank)
        text = para(run(name, bold=True), "ProcEntryLabel", keep=keep)
        text += para(desk.words(limit, bold=True), "ProcInstruction", keep=keep) if limit else ""
        text += para(words, "ProcEntry", keep=keep, align="right" if blank.unit else "")
        cells += cell(sum(widths[start:stop]), text, span=stop - start, fill=ENTRY)
    return row(cells, height=640)


def _single(desk: Desk, blank: Blank, limit: Prose, step: StepRow, widths: Widths, indent: int, *, keep: bool) -> str:
    """One thing to record: its label, its limit if it has one, and a cell wide enough to write in."""
    first = cell(widths[0], para("", "ProcEntry", keep=keep), borders=under(step.level, above=True, below=keep))
    label = run(blank.label, bold=True)
    side = limit and len(plain(limit)) <= 20 and not broad(blank)
    if limit and not side:
        label += run("  ") + desk.words(limit, bold=True, size=22)
    name = para(label, "ProcList", keep=keep, indent=indent)
    at = 3 if broad(blank) or limit else 4
    if side:
        cells = cell(sum(widths[1:3]), name, span=2, fill=PALE, middle=True)
        cells += cell(
            widths[3], para(desk.words(limit, bold=True), "ProcInstruction", keep=keep), fill=PALE, middle=True
        )
        at = 4
    else:
        cells = cell(sum(widths[1:at]), name, span=at - 1, fill=PALE, middle=True)
    if blank.choices and at == 4:  # the boxes need more room than a number
        at = 3
        cells = cell(sum(widths[1:3]), name, span=2, fill=PALE, middle=True)
    words = control(desk.marks, blank, step.number) + unit_run(blank)
    text = para(words, "ProcEntry", keep=keep, align="right" if blank.unit else "")
    cells += cell(sum(widths[at:]), text, span=7 - at, fill=ENTRY, middle=True)
    return row(first + cells, height=460)
