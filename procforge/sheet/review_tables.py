"""The lists before and after the work, merged over the variants: common rows once, others named by their variants.

What is entered in the field is left out: a column of nothing but blanks goes with its head.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from procforge.sheet.inline import Blank, Cell, Inline, Run, plain
from procforge.sheet.labels import Labels
from procforge.sheet.outline import (
    AcceptanceTable,
    Block,
    CloseOut,
    Figure,
    Heading,
    KeyValues,
    ListTable,
    Paragraph,
)
from procforge.sheet.review_align import align, ways
from procforge.sheet.review_names import VariantNames

FOR = "For"
Cells = tuple[Cell, ...]


def merged(sides: Sequence[Sequence[Block]], names: VariantNames, labels: Labels) -> list[Block]:
    """The blocks of several sheets as one list of blocks; `sides` has the blocks of each variant."""
    plainer = [[part for block in side for part in _plain(block, labels)] for side in sides]
    out: list[Block] = []
    for row in align(plainer, _identity):
        only = names.some(row.having)
        found = [item for item in row.items if item is not None]
        match row.first:
            case Paragraph() as block:
                label: tuple[Run, ...] = (Run(f"{only}: ", strong=True),) if only else ()
                text = block.text if isinstance(block.text, tuple) else (block.text,)
                out.append(Paragraph((*label, *text), block.bullet, block.strong))
            case KeyValues() as block:
                out.append(_pairs(block, [b for b in found if isinstance(b, KeyValues)], row.having, names))
            case ListTable() as block:
                out.append(_table(block, [b for b in found if isinstance(b, ListTable)], row.having, names))
            case Figure() as block if only:
                out += [Paragraph((Run(f"{only}:", strong=True),)), block]
            case block:
                out.append(block)
    return out


def _identity(block: Block) -> tuple[object, ...]:
    match block:
        case Heading():
            return "heading", block.anchor or block.text
        case Paragraph():
            return "paragraph", plain(block.text)
        case ListTable():
            return "list", block.head
        case KeyValues():
            return "pairs", block.title, block.rows[0][0] if block.rows else ""
        case Figure():
            return "figure", block.alt, block.caption, block.png, block.svg
    return type(block).__name__, block


def _plain(block: Block, labels: Labels) -> list[Block]:
    """A block as one to read: without blanks, and none at all if nothing is left."""
    match block:
        case Heading() | Figure() | Paragraph():
            return [block]
        case ListTable():
            return _read(block)
        case KeyValues():
            rows = tuple((name, _words(cell)) for name, cell in block.rows if plain(_words(cell)))
            return [KeyValues(rows, block.title)] if rows else []
        case AcceptanceTable():
            lines = tuple((row.number, row.feature, row.limit) for row in block.rows)
            head = (labels.step, labels.feature, labels.limit)
            return [ListTable(head, lines, block.title, (0.6, 2.4, 3.4))]
        case CloseOut():
            inner = [part for table in block.tables for part in _plain(table, labels)]
            asked = [blank.label for blank in block.remarks]
            signed = [f"{one.task}{f' ({one.role})' if one.role else ''}" for one in block.signatures]
            pairs = (("To be written down", "; ".join(asked)), ("To be signed", "; ".join(signed)))
            rows = tuple((name, words) for name, words in pairs if words)
            inner += [KeyValues(rows)] if rows else []
            return [*inner, *([Paragraph(block.kept)] if block.kept else [])]
    return []


def _read(table: ListTable) -> list[Block]:
    """A list without its blanks: their columns go if they hold nothing else, rows of blanks alone go."""
    full = [line + ("",) * (len(table.head) - len(line)) for line in table.rows]
    kept = [at for at in range(len(table.head)) if any(plain(_words(line[at])) for line in full) or not any(_asks(line[at]) for line in full)]  # fmt: skip
    rows = tuple(tuple(_words(line[at]) for at in kept) for line in full)
    rows = tuple(line for line in rows if any(plain(cell) for cell in line))
    if not rows or not kept:
        return []
    head = tuple(table.head[at] for at in kept)
    widths = tuple(table.widths[at] for at in kept) if table.widths else ()
    centred = tuple(new for new, old in enumerate(kept) if old in table.centred)
    pair = next((n for n in range(1, len(head)) if len(head) % n == 0 and head == head[:n] * (len(head) // n)), 0)
    if pair:  # a list set in pairs to save paper is one list again
        halves = (tuple(line[at : at + pair] for line in rows) for at in range(0, len(head), pair))
        rows = tuple(line for half in halves for line in half if any(plain(cell) for cell in line))
        head, widths, centred = head[:pair], widths[:pair], tuple(at for at in centred if at < pair)
    return [ListTable(head, rows, table.title, widths, centred, table.anchor)]


def _asks(cell: Cell) -> bool:
    return isinstance(cell, Blank) or (isinstance(cell, tuple) and any(isinstance(part, Blank) for part in cell))


def _words(cell: Cell) -> Cell:
    """A cell without its blanks."""
    if isinstance(cell, Blank):
        return ""
    if isinstance(cell, tuple):
        return tuple(part for part in cell if not isinstance(part, Blank))
    return cell


def _pairs(block: KeyValues, found: list[KeyValues], having: tuple[int, ...], names: VariantNames) -> KeyValues:
    """Pairs aligned by their label; one that differs has a line for each group of variants."""
    rows: list[tuple[str, Cell]] = []
    for row in align([b.rows for b in found], lambda pair: pair[0]):
        members = [having[at] for at in row.having]
        texts = [pair[1] for pair in row.items if pair is not None]
        for value, some in ways(texts).forms:
            only = names.some([members[at] for at in some])
            rows.append((f"{row.first[0]} ({only})" if only else row.first[0], value))
    return KeyValues(tuple(rows), block.title)


def _table(block: ListTable, found: list[ListTable], having: tuple[int, ...], names: VariantNames) -> ListTable:
    """Rows aligned by their first cell; a column says for which variants a row is, if any row differs."""
    twice = {key for table in found for key, n in Counter(_first(line) for line in table.rows).items() if n > 1}

    def key(line: Cells) -> tuple[str, ...]:
        return tuple(plain(cell) for cell in line) if _first(line) in twice else (_first(line),)

    rows: list[tuple[Cells, str]] = []
    for row in align([table.rows for table in found], key):
        members = [having[at] for at in row.having]
        lines = [line for line in row.items if line is not None]
        cells = [[line[at] if at < len(line) else "" for line in lines] for at in range(len(block.head))]
        rows.append((tuple(_beside(column, members, names) for column in cells), names.some(members)))
    if not any(only for _, only in rows):
        return ListTable(block.head, tuple(line for line, _ in rows), block.title, block.widths, block.centred)
    width = len(block.head)
    told = tuple((*line, (Run(only, strong=True),) if only else "all") for line, only in rows)  # fmt: skip
    widths = (*(block.widths or (1.0,) * width), sum(block.widths or (1.0,) * width) * 0.2)
    return ListTable((*block.head, FOR), told, block.title, widths, block.centred)


def _beside(column: Sequence[Cell], members: Sequence[int], names: VariantNames) -> Cell:
    """One cell of all variants: its words once, or a line for each group of variants that agree."""
    forms = ways(column).forms
    if len(forms) == 1:
        return column[0]
    out: list[Inline] = []
    for value, some in forms:
        out += ["\n"] * bool(out) + [Run(f"{names.some([members[at] for at in some])}: ", strong=True)]
        out += value if isinstance(value, tuple) else [value or "\u2013"]
    return tuple(out)


def _first(line: Cells) -> str:
    return plain(line[0]) if line else ""
