"""Writes charts to files: one picture, or a book of pages that print large enough."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from procforge.render.chart.book import laid_book
from procforge.render.chart.drawing import Drawn, draw, pictures
from procforge.sheet.chart import Chart

SUFFIXES = (".svg", ".png", ".dot")


def write_chart(chart: Chart, path: str | Path) -> None:
    """Draw the chart into a file named .svg, .png or .dot; the file is there whole or not at all.

    Raises ValueError for another suffix, NoLayout without a layout program, OSError from the disk.
    """
    path = Path(path)
    write_whole(path, draw([chart], _format(path))[0])


def write_book(chart: Chart, path: str | Path, whole: bool = False) -> list[Path]:
    """Write the chart as pages that print at 7 points or more; the files written, in reading order.

    A chart that fits one page goes into `path`. Else `path` holds the overview and `path` with -1, -2 and on before
    its suffix the charts with these numbers. DOT is never cut, for it has no size; nor is anything if `whole`.
    Nothing is written unless all could be drawn. Raises as `write_chart`.
    """
    path = Path(path)
    format_ = _format(path)
    if whole or format_ == "dot":
        write_chart(chart, path)
        return [path]
    return write_drawn(laid_book(chart), path)


def write_drawn(drawn: Sequence[Drawn], path: str | Path) -> list[Path]:
    """Write the pages of a `laid_book` as .svg or .png under the names that `write_book` gives them."""
    path = Path(path)
    format_ = _format(path)
    if format_ == "dot":
        raise ValueError("a drawn chart is written as .svg or .png")
    digits = len(str(len(drawn) - 1))
    numbered = [path.with_name(f"{path.stem}-{n:0{digits}}{path.suffix}") for n in range(1, len(drawn))]
    paths = [path, *numbered]
    for target, content in zip(paths, pictures(drawn, format_), strict=True):
        write_whole(target, content)
    return paths


def _format(path: Path) -> Literal["svg", "png", "dot"]:
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise ValueError(f"a chart is written as {', '.join(SUFFIXES)}, not {suffix or 'a file without a suffix'}")
    return "svg" if suffix == ".svg" else "png" if suffix == ".png" else "dot"


def write_whole(path: Path, content: bytes) -> None:
    """Write beside, then put in place."""
    handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(beside).chmod(0o666 & ~_umask())
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
