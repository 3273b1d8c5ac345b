"""A stack as a drawing: blocks for parts, dark bars for seals, dashed boxes for spaces, bolts that go through.

Columns are the ways from outside to inside; a layer is as wide as the ways that go through it. Rows are as high as
their text, which is measured, so nothing is cut and nothing overlaps.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from procforge.sheet.drawing import (
    MM_PT,
    Circle,
    Drawing,
    Line,
    Rect,
    Shape,
    Side,
    Text,
    Tone,
    arrow,
)
from procforge.sheet.english import lower_first
from procforge.sheet.labels import Labels
from procforge.sheet.lettering import width
from procforge.sheet.stack import depths
from procforge.sheet.stack_parts import MANNERS, Bolt, Cell, Hold, Kind, Layer, Manner
from procforge.sheet.stack_ways import groups
from procforge.sheet.typeset import Lettered, height_of, lettered, placed

WIDTH = 165.0
TALLEST = 205.0  # fits a page of A4 or Letter with its heading and caption
_PAD = 1.6  # between the side of a block and its words
_ENDS = 14.0  # above the first row and below the last
_BAR = 1.8
_LANE = 6.2
_HEAD, _SHANK = 4.6, 2.2
_LEFT, _RIGHT = 40.0, 40.0
_LEAST = 17.0  # room for words in a block
_CLEAR = 3.0  # between a label and what it names


def drawings(
    layers: Mapping[str, Layer], under: Mapping[str, tuple[str, ...]], holds: Sequence[Hold], alt: str, labels: Labels
) -> tuple[Drawing, ...]:
    """The stack as one drawing or, where it is too wide or too tall for one, as several."""
    found: list[Drawing] = []
    for group in groups(tuple(layers), under):
        plan = _Plan(group, layers, under, holds, labels, MANNERS[0])
        symbols = not plan.cramped
        for manner in MANNERS[not plan.cramped :]:
            if plan.tall > TALLEST or plan.cramped:
                plan = _Plan(group, layers, under, holds, labels, manner, symbols=symbols)
        found += plan.drawn(alt)
    return tuple(found)


class _Plan:
    """One group of ways laid out."""

    def __init__(
        self,
        group: list[tuple[str, ...]],
        layers: Mapping[str, Layer],
        under: Mapping[str, tuple[str, ...]],
        holds: Sequence[Hold],
        labels: Labels,
        manner: Manner,
        *,
        symbols: bool = True,
    ) -> None:
        self.labels, self.manner, self.symbols = labels, manner, symbols
        self.gap = manner.gap
        names = [name for name in layers if any(name in way for way in group)]
        self.under = {name: tuple(n for n in under[name] if n in names) for name in names}
        row = depths(self.under)
        self.cells: dict[str, Cell] = {}
        for name in names:
            columns = [at for at, way in enumerate(group) if name in way]
            self.cells[name] = Cell(layers[name], row[name], columns[0], columns[-1])
        self.columns = len(group)
        self._beside()
        self.bolts = [self._bolt(hold) for hold in holds if hold.held in self.cells]
        self._lanes()
        self._columns()
        self._letter()

    # ---- places ------------------------------------------------------------------------------
    def _bolt(self, hold: Hold) -> Bolt:
        """A hold and its rows; it goes through what lies over its part only where all of that begins at one edge."""
        held = self.cells[hold.held]
        labels = any(cell.beside for cell in self.cells.values() if cell.row == held.row)
        side = ""
        if self.symbols and held.first == 0:
            side = "left"
        elif self.symbols and held.last == self.columns - 1 and not labels:
            side = "right"
        first = self.cells.get(hold.first, held)
        passed = [
            cell for cell in self.cells.values()
            if first.row <= cell.row <= held.row and cell.first <= held.last and held.first <= cell.last
        ]  # fmt: skip
        straight = all(c.last == held.last if side == "right" else c.first == held.first for c in passed)
        return Bolt(hold, (first.row if straight and first in passed else held.row, held.row), side)

    def _lanes(self) -> None:
        """Bolts beside each other where they pass the same row; the short ones nearer the edge."""
        done: list[Bolt] = []
        for bolt in () if not self.symbols else sorted(self.bolts, key=lambda b: b.rows[1] - b.rows[0]):
            taken = {
                lane
                for other in done
                if self._edge(other) == self._edge(bolt) and _meet(other.rows, bolt.rows)
                for lane in range(other.lane, other.lane + len(other.hold.fasteners))
            }
            need = len(bolt.hold.fasteners)
            bolt.lane = next(at for at in range(99) if not taken & set(range(at, at + need)))
            done.append(bolt)
            for cell in self.cells.values():
                held = self.cells[bolt.hold.held]
                if bolt.rows[0] <= cell.row <= bolt.rows[1] and cell.first <= held.last and held.first <= cell.last:
                    room = (bolt.lane + need) * _LANE + 1.0
                    if bolt.side == "right":
                        cell.outset = max(cell.outset, room)
                    else:
                        cell.inset = max(cell.inset, room)

    def _edge(self, bolt: Bolt) -> tuple[str, int]:
        held = self.cells[bolt.hold.held]
        return (bolt.side, held.last if bolt.side == "right" else held.first)

    def _beside(self) -> None:
        """A seal's label stands at the right where nothing stands between; else under its bar."""
        for cell in self.cells.values():
            right = [o for o in self.cells.values() if o is not cell and o.row == cell.row and o.first > cell.last]
            cell.beside = cell.layer.kind is Kind.SEAL and not right
        under_it = {c.row for c in self.cells.values() if c.layer.kind is Kind.SEAL and not c.beside}
        for cell in self.cells.values():
            cell.beside = cell.beside and cell.row not in under_it  # bars of one row stand at one height

    def _columns(self) -> None:
        self.left = _LEFT if any(bolt.side == "left" for bolt in self.bolts) else 0.0
        labelled = any(cell.beside for cell in self.cells.values()) or any(b.side == "right" for b in self.bolts)
        self.right = WIDTH - (_RIGHT if labelled else 0.0)
        if self.columns == 1:
            self.left, self.right = max(self.left, 20.0), min(self.right, WIDTH - 20.0)
        self.left, self.right = max(self.left, 0.3), min(self.right, WIDTH - 0.3)
        room = (self.right - self.left) / self.columns
        for cell in self.cells.values():
            cell.left = self.left + cell.first * room + (0.8 if cell.first else 0.0)
            cell.right = self.left + (cell.last + 1) * room - (0.8 if cell.last < self.columns - 1 else 0.0)

    def _letter(self) -> None:
        """The lines of text of each layer and bolt, and the height of each row."""
        for bolt in self.bolts:
            bolt.lines = [line for entry in bolt.hold.fasteners for line in self._label(entry, bolt.side)]
        for name, cell in self.cells.items():
            layer = cell.layer
            across = cell.right - cell.left
            room = _RIGHT - _CLEAR if cell.beside else across - cell.inset - cell.outset - 2 * _PAD
            if layer.kind is Kind.SEAL and not cell.beside:
                room = across - max(cell.inset + _PAD, _seal_inset(across)) - max(cell.outset, _PAD)
            held = [b for b in self.bolts if not b.side and b.hold.held == name]
            wanted = [
                (layer.name, self.manner.name, layer.kind is not Kind.SPACE),
                (layer.words, self.manner.words, False),
            ]
            for bolt in held:
                text = "; ".join(
                    ", ".join(filter(None, (lower_first(name), *rest))) for name, *rest in bolt.hold.fasteners
                )
                wanted.append((self.labels.stack_held.format(fasteners=text), self.manner.words, False))
            name_room = width(layer.name, self.manner.name, bold=True) * MM_PT + _CLEAR
            if layer.kind is Kind.PART and width(layer.steps, self.manner.words) * MM_PT + name_room <= room:
                cell.aside = layer.steps
            else:
                wanted.append((layer.steps, self.manner.words, False))
            cell.lines = lettered(wanted, room)
        rows = 1 + max(cell.row for cell in self.cells.values())
        self.heights = [0.0] * rows
        for cell in self.cells.values():
            self.heights[cell.row] = max(self.heights[cell.row], self._height(cell))
        for bolt in self.bolts:
            if bolt.side:
                at = bolt.rows[1]
                self.heights[at] = max(self.heights[at], height_of(bolt.lines) + 1.0)

    def _height(self, cell: Cell) -> float:
        if cell.layer.kind is Kind.SEAL:
            return height_of(cell.lines) if cell.beside else _BAR + 1.0 + height_of(cell.lines)
        return height_of(cell.lines) + 2 * self.manner.pad

    @property
    def cramped(self) -> bool:
        """Whether bolts leave too little room for words beside them."""
        return any(c.right - c.left - c.inset - c.outset - 2 * _PAD < _LEAST for c in self.cells.values())

    @property
    def tall(self) -> float:
        """The height of all rows in one drawing."""
        return sum(self.heights) + self.gap * (len(self.heights) - 1) + _ENDS

    # ---- drawing -----------------------------------------------------------------------------
    def drawn(self, alt: str) -> list[Drawing]:
        """One drawing, or as many as the height asks for, cut between rows."""
        pages: list[list[int]] = [[]]
        tall = 0.0
        for row, height in enumerate(self.heights):
            if pages[-1] and tall + height > TALLEST - _ENDS:
                pages.append([])
                tall = 0.0
            pages[-1].append(row)
            tall += height + self.gap
        return [self._page(rows, alt, last=rows[-1] == len(self.heights) - 1) for rows in pages]

    def _page(self, rows: list[int], alt: str, *, last: bool) -> Drawing:
        top: dict[int, float] = {}
        y = 8.0
        for row in rows:
            top[row] = y
            y += self.heights[row] + self.gap
        bottom = y - self.gap
        shapes: list[Shape] = list(self._marks(rows[0] == 0, bottom, last=last))
        shapes += self._axes(top, bottom)
        for cell in self.cells.values():
            if cell.row in top:
                shapes += self._cell(cell, top[cell.row])
        for bolt in self.bolts if self.symbols else ():
            if bolt.rows[1] in top:
                shapes += self._through(bolt, top)
        return Drawing(WIDTH, round(bottom + 6.0, 2), tuple(shapes), alt)

    def _marks(self, first: bool, bottom: float, *, last: bool) -> list[Shape]:
        """Which end is outside."""
        x = (self.left + self.right) / 2
        labels = self.labels
        above = labels.stack_outside if first else labels.stack_continued
        below = labels.stack_inside if last else labels.stack_goes_on
        shapes: list[Shape] = [Text(x + 2.5, 3.6, above, self.manner.words), *arrow(x, 1.0, x, 4.2, stroke=0.4)]
        return [
            *shapes,
            Text(x + 2.5, bottom + 4.6, below, self.manner.words),
            *arrow(x, bottom + 1.2, x, bottom + 5.0, stroke=0.4),
        ]

    def _axes(self, top: dict[int, float], bottom: float) -> list[Shape]:
        """Dashed lines from each layer to those right under it."""
        shapes: list[Shape] = []
        for name, below in self.under.items():
            cell = self.cells[name]
            for other in (self.cells[n] for n in below):
                if cell.row in top or other.row in top:
                    x = (max(cell.left, other.left) + min(cell.right, other.right)) / 2
                    start = top[cell.row] + self._middle(cell) if cell.row in top else min(top.values()) - 2.0
                    end = top[other.row] + self._middle(other) if other.row in top else bottom
                    shapes.append(Line(x, start, x, end, 0.25, Tone.DARK, dashed=True))
        return shapes

    def _middle(self, cell: Cell) -> float:
        """How far below the top of its row the middle of a layer is: of a seal's bar, where it is one."""
        if cell.layer.kind is Kind.SEAL:
            return height_of(cell.lines) / 2 if cell.beside else _BAR / 2
        return self.heights[cell.row] / 2

    def _cell(self, cell: Cell, y: float) -> list[Shape]:
        tall, across = self.heights[cell.row], cell.right - cell.left
        if cell.layer.kind is Kind.SEAL:
            inset = _seal_inset(across)
            if cell.beside:
                mid = y + self._middle(cell)
                bar = Rect(cell.left + inset, mid - _BAR / 2, across - 2 * inset, _BAR, Tone.INK, 0.0)
                x = self.right + _CLEAR
                lead = Line(cell.right - inset, mid, x - 0.8, mid, 0.25, Tone.DARK)
                return [bar, lead, *placed(cell.lines, x, y)]
            ground = Rect(cell.left, y + _BAR, across, self._height(cell) - _BAR, Tone.WHITE, 0.0)
            bar = Rect(cell.left + inset, y, across - 2 * inset, _BAR, Tone.INK, 0.0)
            return [ground, bar, *placed(cell.lines, cell.left + max(cell.inset + _PAD, inset), y + _BAR + 1.0)]
        space = cell.layer.kind is Kind.SPACE
        fill = Tone.WHITE if space else Tone.PALE
        block = Rect(cell.left, y, across, tall, fill, 0.3, Tone.DARK, 0.0 if not space else 1.5, dashed=space)
        written = placed(cell.lines, cell.left + cell.inset + _PAD, y + (tall - height_of(cell.lines)) / 2)
        if cell.aside:
            first = written[0]
            written.append(Text(cell.right - cell.outset - _PAD, first.y, cell.aside, self.manner.words, side=Side.END))
        return [block, *written]

    def _through(self, bolt: Bolt, top: dict[int, float]) -> list[Shape]:
        """Heads over the outermost layer, shanks to just under the layer that is held, leaders to the labels."""
        held = self.cells[bolt.hold.held]
        y = top[held.row]
        start = top.get(bolt.rows[0], min(top.values()) - 2.0)
        end = y + self.heights[held.row] + self.gap * 0.35
        leaders: list[Shape] = []
        shanks: list[Shape] = []
        label = y + (self.heights[held.row] - height_of(bolt.lines)) / 2
        for at, entry in enumerate(bolt.hold.fasteners):
            off = (bolt.lane + at + 0.5) * _LANE
            x = held.right - off if bolt.side == "right" else held.left + off
            shanks.append(Rect(x - _SHANK / 2, start, _SHANK, end - start, Tone.LIGHT, 0.3, Tone.INK))
            for thread in (0.4, 0.9, 1.4):
                shanks.append(Line(x - _SHANK / 2, end - thread, x + _SHANK / 2, end - thread, 0.2))
            if bolt.rows[0] in top:
                head = self.gap * 0.53
                shanks.append(Rect(x - _HEAD / 2, start - head, _HEAD, head, Tone.MID, 0.3, Tone.INK))
            if bolt.side:
                lines = self._label(entry, bolt.side)
                mid = label + height_of(lines) / 2
                edge = self.left - _CLEAR if bolt.side == "left" else self.right + _CLEAR
                beyond = edge + 0.8 if bolt.side == "left" else edge - 0.8
                leaders += [Line(beyond, mid, x, mid, 0.25, Tone.DARK)]
                leaders += placed(lines, edge, label, Side.END if bolt.side == "left" else Side.START)
                shanks.append(Circle(x, mid, 0.6, Tone.INK, 0.0))
                label += height_of(lines)
        return [*leaders, *shanks]

    def _label(self, entry: tuple[str, str, str], side: str) -> list[Lettered]:
        name, size, steps = entry
        room = (_LEFT if side == "left" else _RIGHT) - _CLEAR
        return lettered(
            ((name, self.manner.name, True), (size, self.manner.words, False), (steps, self.manner.words, False)), room
        )


def _seal_inset(across: float) -> float:
    """How far a seal's bar stays inside its part: bolts stand outside a seal."""
    return min(9.0, across * 0.15)


def _meet(one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Whether two bolts pass a common row; the one below needs a row of its own for its head."""
    return one[0] <= other[1] and other[0] <= one[1]
