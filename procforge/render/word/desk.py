"""What every part of the writer needs at hand: labels, unique names, the text width, pictures; and words as runs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from procforge.render.word.blanks import control, unit_run
from procforge.render.word.marks import Marks
from procforge.render.word.markup import para, run
from procforge.sheet.inline import Blank, BlankKind, Cell, Prose, Run
from procforge.sheet.labels import Labels

LINK = "0B4F8A"


@dataclass(slots=True)
class Desk:
    """The state of one writing: `width` is the text width in twips; `picture` takes a PNG and gives (rId, px, px).

    `left_out` takes a line for each thing of the outline that could not be made.
    """

    labels: Labels
    marks: Marks
    width: int
    height: int
    picture: Callable[[bytes], tuple[str, int, int]]
    left_out: list[str] = field(default_factory=list)

    def words(self, prose: Prose, *, size: int = 0, bold: bool = False, colour: str = "") -> str:
        """Prose as runs; a reference becomes a link inside the document."""
        if isinstance(prose, str):
            return run(prose, size=size, bold=bold, colour=colour) if prose else ""
        return "".join(self._piece(piece, size, bold, colour) for piece in prose)

    def _piece(self, piece: str | Run, size: int, bold: bool, colour: str) -> str:
        if isinstance(piece, str):
            return run(piece, size=size, bold=bold, colour=colour)
        text = run(
            piece.text,
            size=17 if piece.small else size,
            bold=bold or piece.strong,
            colour=LINK if piece.to else colour,
        )
        return self.marks.link(piece.to, text) if piece.to else text

    def cell_paras(self, content: Cell, style: str, where: str = "", *, keep: bool = False, align: str = "") -> str:
        """A cell's content as paragraphs; each blank stands in a paragraph of its own.

        A control that shares its paragraph with a link makes one program drop the link.
        """
        if isinstance(content, Blank):
            return self._blank_para(content, style, where, keep=keep, align=align)
        if isinstance(content, str | Run):
            return para(self.words((content,)), style, keep=keep, align=align)
        out: list[str] = []
        line: list[str | Run] = []
        for piece in content:
            if piece == "\n":  # a line of its own for what follows
                out.append(para(self.words(tuple(line)), style, keep=keep, align=align))
                line = []
            elif isinstance(piece, Blank):
                if line:
                    out.append(para(self.words(tuple(line)), style, keep=keep, align=align))
                    line = []
                out.append(self._blank_para(piece, style, where, keep=keep, align=align))
            else:
                line.append(piece)
        if line or not out:
            out.append(para(self.words(tuple(line)), style, keep=keep, align=align))
        return "".join(out)

    def _blank_para(self, blank: Blank, style: str, where: str, *, keep: bool, align: str) -> str:
        if blank.kind is BlankKind.TICK:
            size = 24 if style == "ProcList" else 0  # a list's boxes are ticked at the desk, not in gloves
            return para(control(self.marks, blank, where, size=size), "ProcTick", keep=keep, align="center")
        side = align or ("right" if blank.unit else "")
        return para(control(self.marks, blank, where) + unit_run(blank), style, keep=keep, align=side)
