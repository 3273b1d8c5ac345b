"""Lists, pairs, acceptance and isolation tables: fixed layout, a header row repeated on every page."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.render.word.blanks import entry_cell
from procforge.render.word.desk import Desk
from procforge.render.word.markup import ENTRY, HEAD, PALE, cell, esc, kept, para, row, run, shares, table
from procforge.sheet.inline import Blank, BlankKind, Cell, plain
from procforge.sheet.outline import AcceptanceTable, KeyValues, ListTable, Signature


def titled(desk: Desk, title: str, anchor: str, body: str) -> str:
    """A table under its title, if it has one; the title stays with it."""
    if not title:
        return desk.marks.anchor(anchor, body)
    return para(desk.marks.anchor(anchor, run(title)), "ProcTableTitle", keep=True) + body


def head_row(
    names: Sequence[str], widths: Sequence[int], centred: Sequence[int] = (), spans: Sequence[int] = ()
) -> str:
    """The dark header row; `spans` are the grid columns each head takes, one if not given."""
    cells = "".join(
        cell(
            width,
            para(run(name), "ProcListHead", keep=True, align="center" if at in centred else ""),
            span=spans[at] if spans else 1,
            fill=HEAD,
            middle=True,
        )
        for at, (name, width) in enumerate(zip(names, widths, strict=True))
    )
    return row(cells, header=True)


def list_table(desk: Desk, block: ListTable) -> str:
    """A header row and rows of cells; a row that is short is filled up with empty cells."""
    count = len(block.head)
    if any(len(line) > count for line in block.rows) or len(block.widths) not in (0, count):
        raise ValueError(f"table {block.title or block.head!r} has rows or widths that do not fit its head")
    widths = shares(desk.width, block.widths or (1,) * count)
    rows = [head_row(block.head, widths, block.centred)]
    aligns = ["center" if at in block.centred else "" for at in range(count)]
    # Most cells are words: the same all but for these, so what stands round them is made once a column.
    shells = [_shell(width, align) for width, align in zip(widths, aligns, strict=True)]
    for line in block.rows:
        filled = line + ("",) * (count - len(line))
        if set(map(type, filled)) == {str}:
            rows.append(
                row("".join([_read(part, shell) for part, shell in zip(filled, shells, strict=True)]), height=300)
            )
            continue
        where = plain(line[0])[:30]
        cells = [
            _read(part, shells[at]) if isinstance(part, str) else _cell(desk, part, widths[at], where, aligns[at])
            for at, part in enumerate(filled)
        ]
        rows.append(row("".join(cells), height=420 if any(map(_written, filled)) else 300))
    return titled(desk, block.title, block.anchor, table(widths, "".join(rows), title=block.title))


def _shell(width: int, align: str) -> tuple[str, str, str]:
    """What stands before and after the words of a cell to read; and a cell without words."""
    before, _, after = cell(width, para(run("?"), "ProcList", align=align), middle=True).partition("?")
    return before, after, cell(width, para("", "ProcList", align=align), middle=True)


def _read(words: Cell, shell: tuple[str, str, str]) -> str:
    """A cell to read; `words` is a plain text."""
    return f"{shell[0]}{esc(str(words))}{shell[1]}" if words else shell[2]


def _cell(desk: Desk, content: Cell, width: int, where: str, align: str) -> str:
    """A cell to read, or tinted where it holds something to enter; a tick alone needs no tint."""
    text = desk.cell_paras(content, "ProcList", where, align=align)
    return cell(width, text, fill=ENTRY if _written(content) else "", middle=True)


def _written(content: Cell) -> bool:
    """Whether something is to be written in a cell; a tick needs no more room than a word."""
    parts = content if isinstance(content, tuple) else (content,)
    return any(isinstance(part, Blank) and part.kind is not BlankKind.TICK for part in parts)


def key_values(desk: Desk, block: KeyValues) -> str:
    """Pairs of label and value, `columns` pairs a line."""
    pairs = max(1, min(block.columns, 3))
    widths = shares(desk.width, {1: (1.1, 3.9), 2: (1, 1.9, 1, 1.9), 3: (1, 1.3) * 3}[pairs])
    rows = []
    for at in range(0, len(block.rows), pairs):
        some = block.rows[at : at + pairs]
        cells = ""
        for number in range(pairs):
            name, value = some[number] if number < len(some) else ("", "")
            text = para(run(name, bold=True), "ProcList")
            cells += cell(widths[2 * number], text, fill=PALE if name else "", middle=True)
            cells += _cell(desk, value, widths[2 * number + 1], name, "")
        rows.append(row(cells, height=320))
    return titled(desk, block.title, "", table(widths, "".join(rows), title=block.title, side=True))


def acceptance_table(desk: Desk, block: AcceptanceTable) -> str:
    """Feature, limits, measured, result, decided by: one row a feature."""
    labels = desk.labels
    widths = shares(desk.width, (0.55, 1.95, 1.95, 1.05, 3.15, 1.05))
    names = ("", labels.feature, labels.limit, labels.measured, labels.verdict, labels.decided_by)
    rows = [head_row(names, widths)]
    for line in block.rows:
        where = line.number or plain(line.feature)[:30]
        cells = (
            cell(widths[0], para(run(line.number, bold=True), "ProcList"), middle=True)
            + cell(widths[1], para(desk.words(line.feature), "ProcList"), middle=True)
            + cell(widths[2], para(desk.words(line.limit, bold=True), "ProcList"), middle=True)
        )
        for at, blank in ((3, line.measured), (4, line.verdict), (5, line.by)):
            cells += entry_cell(desk.marks, blank, widths[at], where, size=18 if blank and blank.choices else 0)
        rows.append(row(cells, height=440))
    return titled(desk, block.title, block.anchor, table(widths, "".join(rows), title=block.title or labels.verdict))


def signature_table(desk: Desk, signatures: Sequence[Signature], title: str) -> str:
    """Who signs: task and role, name, signature, date; printed where it is known, blank where it is to be signed.

    Its rows stay on one page: who signs last sees who signed before.
    """
    labels = desk.labels
    widths = shares(desk.width, (2.0, 1.9, 2.0, 1.2))
    rows = [head_row((title, labels.name, labels.signature, labels.date), widths)]
    for one in signatures:
        dates = [blank for blank in one.blanks if blank.kind in (BlankKind.DATE, BlankKind.TIME)]
        signs = [blank for blank in one.blanks if blank.kind in (BlankKind.SIGN, BlankKind.INITIALS)]
        names = [blank for blank in one.blanks if blank not in dates and blank not in signs]
        task = run(one.task, bold=True) + (run(f"  {one.role}") if one.role else "")
        cells = cell(widths[0], para(task, "ProcList"), middle=True)
        for width, printed, blanks in (
            (widths[1], one.name, names),
            (widths[2], "", signs),
            (widths[3], one.date, dates),
        ):
            content = (*((printed,) if printed else ()), *blanks)
            cells += _cell(desk, content or "", width, one.task, "")
        rows.append(row(cells, height=480 if one.blanks else 360))
    return table(widths, "".join([*map(kept, rows[:-1]), rows[-1]]), title=title)
