"""Runs the layout program: the bundled graphviz-pure first, a system `dot` after it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Literal

Format = Literal["svg", "png", "json", "plain", "dot"]
TIMEOUT_S = 120.0
MOST = 32  # graphs a process: one process for the charts of a procedure, several side by side for very many
_PNG_MOST = 4  # a picture takes ten times as long as its layout
_INSTALL = "Install it with `pip install graphviz-pure`, or install Graphviz so that `dot` is on the PATH."


class NoLayout(Exception):
    """No layout program could draw the chart; the message says why and what to install."""


def bundled() -> str | None:
    """The layout program of the graphviz-pure package, if it is installed."""
    return _bundled()


@lru_cache(maxsize=1)
def _bundled() -> str | None:
    from importlib import metadata  # imported late: it costs more than the rest of this module

    try:
        files = metadata.files("graphviz-pure") or []
    except metadata.PackageNotFoundError:
        files = []
    for file in files:
        if file.name in ("graphviz-pure", "graphviz-pure.exe"):
            path = Path(os.path.normpath(str(file.locate())))
            if path.is_file():
                return str(path)
    return shutil.which("graphviz-pure")


def system() -> str | None:
    """The `dot` on the PATH, if there is one."""
    return shutil.which("dot")


def layout(dot: str, format: Format, *, dpi: int = 96) -> bytes:
    """One DOT graph drawn; see `layout_many`."""
    return layout_many([dot], format, dpi=dpi)[0]


def layout_many(dots: Iterable[str], format: Format, *, dpi: int = 96) -> list[bytes]:
    """DOT graphs laid out and drawn, in order. Raises NoLayout.

    Up to `MOST` graphs go through one process. More go through several, which run side by side, also beside the
    caller if the graphs come from a generator.
    """
    return list(layout_stream(dots, format, dpi=dpi))


def layout_stream(dots: Iterable[str], format: Format, *, dpi: int = 96) -> Iterator[bytes]:
    """As `layout_many`, each graph as soon as it and those before it are drawn."""
    graphs = iter(dots)
    most = _PNG_MOST if format == "png" else MOST
    first = list(islice(graphs, most))
    second = list(islice(graphs, most)) if len(first) == most else []
    if not second:
        yield from _drawn(first, format, dpi) if first else ()
        return
    with ThreadPoolExecutor(max(2, min(4, os.cpu_count() or 1))) as pool:
        waiting: list[Future[list[bytes]]] = [pool.submit(_drawn, some, format, dpi) for some in (first, second)]
        while some := list(islice(graphs, most)):
            waiting.append(pool.submit(_drawn, some, format, dpi))
        for done in waiting:
            yield from done.result()


def _drawn(dots: Sequence[str], format: Format, dpi: int) -> list[bytes]:
    text = "\n".join(dots)
    arguments = ["-Kdot", f"-T{format}", *([f"-Gdpi={dpi}"] if format == "png" else [])]
    programs = [("graphviz-pure", bundled()), ("dot", system())]
    if format == "png" and not _in_bundled_font(text):
        programs.reverse()  # the system's program has the system's fonts
    why: list[str] = []
    for name, program in programs:
        if program is None:
            why.append(f"{name} is not there")
            continue
        try:
            pieces = _SPLIT[format](_run([program, *arguments], text))
        except (OSError, subprocess.SubprocessError, ValueError) as error:
            why.append(f"{name} failed: {error}")
            continue
        if len(pieces) == len(dots):
            return pieces
        why.append(f"{name} drew {len(pieces)} of {len(dots)} charts")
    raise NoLayout(f"The chart cannot be drawn: {'; '.join(why)}. {_INSTALL}")


def _run(command: list[str], text: str) -> bytes:
    done = subprocess.run(command, input=text.encode(), capture_output=True, timeout=TIMEOUT_S, check=False)
    if done.returncode:
        last = done.stderr.decode(errors="replace").strip().splitlines()[-1:]
        raise subprocess.SubprocessError(f"exit code {done.returncode} {' '.join(last)}".strip())
    return done.stdout


def _in_bundled_font(text: str) -> bool:
    """Whether the bundled font (Arimo: Latin, Greek, Cyrillic, Hebrew, signs) has letters for all of the text."""
    return all(c < "\u0530" or "\u0590" <= c < "\u0600" or "\u1e00" <= c < "\u2700" for c in set(text))


def _after(last: bytes) -> Callable[[bytes], list[bytes]]:
    """Cuts output after each line that is `last` alone."""

    def split(output: bytes) -> list[bytes]:
        pieces = (b"\n" + output.replace(b"\r\n", b"\n")).split(b"\n" + last + b"\n")
        return [piece.lstrip() + b"\n" + last + b"\n" for piece in pieces if piece.strip()]

    return split


def _split_json(output: bytes) -> list[bytes]:
    text, at, pieces = output.decode(), 0, []
    while at < len(text.rstrip()):
        start = text.index("{", at)
        _, at = json.JSONDecoder().raw_decode(text, start)
        pieces.append(text[start:at].encode() + b"\n")
    return pieces


def _split_png(output: bytes) -> list[bytes]:
    """Cut after each IEND chunk, walking the chunks: 8 bytes signature, then (length, name, data, crc)."""
    pieces, start, at = [], 0, 8
    while at + 12 <= len(output):
        name = output[at + 4 : at + 8]
        at += 12 + int.from_bytes(output[at : at + 4], "big")
        if name == b"IEND":
            pieces.append(output[start:at])
            start, at = at, at + 8
    return pieces


_SPLIT: dict[str, Callable[[bytes], list[bytes]]] = {
    "svg": _after(b"</svg>"),
    "dot": _after(b"}"),
    "plain": _after(b"stop"),
    "json": _split_json,
    "png": _split_png,
}
