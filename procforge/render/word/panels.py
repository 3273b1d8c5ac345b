"""Hazard panels in the manner of ANSI Z535.6: alone in the summary, and as a row just before their step.

The standard gives Munsell colours; the hex values are our choice of screen and print red, orange, yellow and blue.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from procforge.render.word.desk import Desk
from procforge.render.word.markup import border, box, cell, para, row, run, table
from procforge.render.word.pictures import drawing
from procforge.render.word.symbol import alert_symbol
from procforge.sheet.inline import plain
from procforge.sheet.labels import Labels
from procforge.sheet.rows import HazardPanel, Signal

_WHITE = "FFFFFF"
_LINE = 66  # letters of two short lines that fit side by side


class Look(NamedTuple):
    """Panel colour, colour of the words on it, and whether the safety alert symbol stands there."""

    fill: str
    ink: str
    symbol: bool


LOOKS = {
    Signal.DANGER: Look("C8102E", "FFFFFF", symbol=True),
    Signal.WARNING: Look("FF8200", "000000", symbol=True),
    Signal.CAUTION: Look("FFD100", "000000", symbol=True),
    Signal.NOTICE: Look("0057B8", "FFFFFF", symbol=False),
}


def signal_word(labels: Labels, signal: Signal) -> str:
    """The word printed for a signal, in the site's wording."""
    words = {
        Signal.DANGER: labels.danger,
        Signal.WARNING: labels.warning,
        Signal.CAUTION: labels.caution,
        Signal.NOTICE: labels.notice,
    }
    return words[signal].upper()


def _signal(desk: Desk, panel: HazardPanel, size: int, side: int) -> str:
    """Symbol and signal word; NOTICE is italic and has no symbol, nor has what harms no person."""
    look = LOOKS[panel.signal]
    word = run(signal_word(desk.labels, panel.signal), size=size, bold=True, italic=not look.symbol, colour=look.ink)
    if not look.symbol or not panel.person:
        return word
    art = drawing(desk, alert_symbol(look.ink, look.fill), "Safety alert symbol", width=side, height=side)
    return art + run("\u00a0", size=size) + word


def _message(desk: Desk, panel: HazardPanel, *, keep: bool) -> str:
    """Hazard and place, consequence, avoidance, wear."""
    place = f" ({desk.labels.at.lower()} {panel.place})" if panel.place else ""
    head = desk.marks.anchor(panel.anchor, run(f"{panel.hazard}{place}.", bold=True))
    lines = [para(head + (run(f" {panel.consequence}") if panel.consequence else ""), "ProcPanel", keep=keep)]
    items = [(run("\u2022\u00a0") + desk.words(line), len(plain(line)) + 2) for line in panel.avoid]
    if panel.wear:
        name, worn = f"{desk.labels.wear}: ", ", ".join(panel.wear) + "."
        items.append((run(name, bold=True) + run(worn), len(name) + len(worn)))
    for some in _on_a_line(items):
        lines.append(para(run("    ").join(some), "ProcPanel", keep=keep, indent=170, hanging=170))
    return "".join(lines)


def _on_a_line(items: list[tuple[str, int]]) -> list[list[str]]:
    """How to keep out of harm, a line each; two short ones share a line. Each item with its number of letters."""
    out: list[list[str]] = []
    room = 0
    for words, letters in items:
        if letters <= room:
            out[-1].append(words)
            room = 0
        else:
            out.append([words])
            room = _LINE - letters
    return out


def hazard_rows(desk: Desk, panels: Sequence[HazardPanel], widths: tuple[int, ...]) -> str:
    """Rows of the step table, kept with the row after them: signal over two columns, message over the other five.

    A white line parts the signals of two panels, which may have one colour.
    """
    out = ""
    for at, panel in enumerate(panels):
        look = LOOKS[panel.signal]
        signal = para(_signal(desk, panel, 22, 190_000), "ProcSignal", keep=True)
        sides = border("top", 12, _WHITE if at else look.fill) + border("left", 12, look.fill)
        sides += border("bottom", 12, look.fill if at == len(panels) - 1 else _WHITE) + border("right", 12, look.fill)
        left = cell(sum(widths[:2]), signal, span=2, fill=look.fill, borders=sides, middle=True)
        message = _message(desk, panel, keep=True)
        out += row(left + cell(sum(widths[2:]), message, span=5, borders=box(12, look.fill), middle=True))
    return out


def hazard_block(desk: Desk, panel: HazardPanel) -> str:
    """A panel standing alone: the signal word over the message."""
    look = LOOKS[panel.signal]
    head = para(_signal(desk, panel, 28, 260_000), "ProcSignal", keep=True)
    rows = row(cell(desk.width, head, fill=look.fill, borders=box(12, look.fill), middle=True))
    rows += row(cell(desk.width, _message(desk, panel, keep=False), borders=box(12, look.fill)))
    return table((desk.width,), rows, title=f"{signal_word(desk.labels, panel.signal)}: {panel.hazard}")
