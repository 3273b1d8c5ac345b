"""A procedure's text as statements with the lines they take, to be edited one statement at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from procforge.syntax.lines import logical_lines
from procforge.syntax.nodes import Item
from procforge.syntax.parse import parse
from procforge.text import Source

#: Statements that stand for themselves and may be moved, taken out or doubled.
WORK = ("step", "check", "measure", "readings", "hold", "handover", "wait", "may_stop", "stop")
BLOCKS = ("ask", "when", "repeat", "any_order", "together", "either", "for_each", "only_for", "bench", "lend_back")


@dataclass(eq=False)
class Spot:
    """A statement or block: its lines (from 1, inclusive), and those beside it in its body."""

    item: Item
    first: int
    last: int
    beside: list[Spot] = field(default_factory=list)
    within: Spot | None = None
    #: For a block: the first and last line of each arm's body, empty ones with last < first.
    arms: list[tuple[int, int]] = field(default_factory=list)

    @property
    def place(self) -> int:
        """Its number among those beside it."""
        return self.beside.index(self)


class Job:
    """The text of one procedure, `lines` counted from 1 (line 0 is nothing)."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = ["", *text.split("\n")]
        source = Source.of("x.proc", text)
        starts = [*sorted(line for line, _ in logical_lines(source).value), len(self.lines)]
        self._ends = {a: b - 1 for a, b in pairwise(starts)}
        self.spots: list[Spot] = []
        self._body(parse(source).value.items, None)

    def _last(self, item: Item) -> int:
        """The last line of a statement with its properties and prose; blank and comment lines after it are not its."""
        inner = [item.line, *(line for line, _ in item.prose), *(self._last(p) for p in item.props)]
        last = self._ends.get(max(inner), max(inner))
        while last > item.line and not self.lines[last].split("#")[0].strip():
            last -= 1
        return last

    def _body(self, items: list[Item], within: Spot | None) -> list[Spot]:
        found: list[Spot] = []
        for item in items:
            if item.form in BLOCKS:
                found.append(self._block(item, within))
            elif item.form in WORK:
                found.append(Spot(item, item.line, self._last(item), within=within))
                self.spots.append(found[-1])
            else:
                for arm in item.arms:
                    self._body(arm.body, within)
        for spot in found:
            spot.beside = found
        return found

    def _block(self, item: Item, within: Spot | None) -> Spot:
        spot = Spot(item, item.line, item.line, within=within)
        self.spots.append(spot)
        last = self._last(item)
        for arm in item.arms:
            head = max(last if arm.head is item else self._last(arm.head), last)
            inner = self._body(arm.body, spot)
            last = max([head, *(s.last for s in inner)])
            spot.arms.append((head + 1, last))
        while self.lines[last].strip() != "end" or last in [a[1] for a in spot.arms if a[1] >= a[0]]:
            last += 1
        spot.last = last
        return spot

    # ---- looking ---------------------------------------------------------------------------------
    def head(self, spot: Spot) -> str:
        """The first line of a statement."""
        return self.lines[spot.first]

    def steps(self, *verbs: str) -> Iterator[Spot]:
        """The steps with one of the verbs, all steps if none is named."""
        for spot in self.spots:
            if spot.item.form == "step" and (not verbs or self.head(spot).split()[1] in verbs):
                yield spot

    def of(self, *forms: str) -> Iterator[Spot]:
        """The statements of some forms."""
        return (s for s in self.spots if s.item.form in forms)

    # ---- editing ---------------------------------------------------------------------------------
    def with_line(self, number: int, line: str) -> str:
        """The text with one line changed."""
        return "\n".join([*self.lines[1:number], line, *self.lines[number + 1 :]])

    def without(self, first: int, last: int) -> str:
        """The text with some lines taken out (left blank, so that other lines keep their numbers)."""
        return "\n".join([*self.lines[1:first], *[""] * (last - first + 1), *self.lines[last + 1 :]])

    def without_all(self, spots: list[Spot]) -> str:
        """The text with several statements taken out."""
        lines = list(self.lines)
        for spot in spots:
            lines[spot.first : spot.last + 1] = [""] * (spot.last - spot.first + 1)
        return "\n".join(lines[1:])

    def changed(self, edits: dict[int, str]) -> str:
        """The text with several lines changed."""
        return "\n".join(edits.get(n, line) for n, line in enumerate(self.lines) if n)

    def moved(self, spot: Spot, to: int) -> str:
        """The text with a statement moved to stand before a line."""
        block = self.lines[spot.first : spot.last + 1]
        lines: list[str] = []
        for n, line in enumerate(self.lines):
            if n == to:
                lines += block
            if n and not spot.first <= n <= spot.last:
                lines.append(line)
        return "\n".join(lines if to < len(self.lines) else [*lines, *block])

    def doubled(self, spot: Spot, before: int) -> str:
        """The text with a statement written a second time, before a line."""
        return "\n".join([*self.lines[1:before], *self.lines[spot.first : spot.last + 1], *self.lines[before:]])

    def put(self, before: int, *new: str) -> str:
        """The text with lines put in."""
        return "\n".join([*self.lines[1:before], *new, *self.lines[before:]])
