"""Reads a file and all files it uses, each once; a missing file or a circle is a finding with the chain."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from procforge.findings import Finding, Mark, Outcome, Severity
from procforge.syntax.nodes import File, Item, Line
from procforge.syntax.parse import parse_bytes
from procforge.text import Span

Reader = Callable[[Path], bytes]


def read_from_disk(path: Path) -> bytes:
    """The bytes of a file; raises OSError."""
    return path.read_bytes()


class Library:
    """Files by path, parsed once; `bundle` gives a file with all it uses, used ones first."""

    def __init__(self, reader: Reader = read_from_disk) -> None:
        self._reader = reader
        self._parsed: dict[str, Outcome[File]] = {}
        self.called: dict[str, Outcome[Any]] = {}
        """Procedures that others call, by path, as resolved."""
        self.sites: dict[str, Outcome[Any]] = {}
        """Site profiles by the folder they were looked for from."""

    def raw(self, path: Path) -> bytes:
        """The bytes of a file that is not of the language; raises OSError."""
        return self._reader(path)

    def file(self, path: Path) -> Outcome[File]:
        """One file, parsed once; raises OSError where it can't be read."""
        key = os.path.normpath(path)
        if key not in self._parsed:
            self._parsed[key] = parse_bytes(key.replace("\\", "/"), self._reader(path))
        return self._parsed[key]

    def bundle(self, path: Path) -> Outcome[list[File]]:
        """The file at `path`, last, after all files it uses directly or not."""
        files: list[File] = []
        found: list[Finding] = []
        self._visit(path, [], files, found, set())
        return Outcome(files, tuple(found))

    def _visit(
        self, path: Path, chain: list[tuple[str, Span]], files: list[File], found: list[Finding], done: set[str]
    ) -> None:
        key = os.path.normpath(path)
        parsed = self.file(path)
        done.add(_real(key))
        found.extend(parsed.findings)
        for item in uses(parsed.value):
            target, span = used_path(parsed.value, item)
            other = os.path.normpath(target)
            link = [*chain, (key, span)]
            if any(_real(other) == _real(seen) for seen, _ in link):
                found.append(self._circle(link, other))
            elif _real(other) not in done:
                try:
                    self._visit(target, link, files, found, done)
                except OSError as error:
                    found.append(_missing(span, target, error, chain))
        files.append(parsed.value)

    @staticmethod
    def _circle(link: list[tuple[str, Span]], other: str) -> Finding:
        start = next(i for i, (key, _) in enumerate(link) if _real(key) == _real(other))
        names = " -> ".join([*(Path(key).name for key, _ in link[start:]), Path(other).name])
        span = link[-1][1]
        marks = tuple(Mark(s, "used here") for _, s in link[start:-1])
        return Finding(
            "use-in-a-circle",
            Severity.ERROR,
            f"the file uses itself: {names}",
            span,
            "closes the circle",
            marks,
            mend="take this `use` out, or move what both need into a third file",
        )


def _real(path: str) -> str:
    """Where a path leads to: one file may have several names."""
    try:
        return os.path.realpath(path)
    except (OSError, ValueError):  # a name that no system takes, told where it is read
        return path


def uses(file: File) -> list[Item]:
    """The `use` statements of a file."""
    return [item for item in file.items if item.form == "use"]


def used_path(file: File, item: Item) -> tuple[Path, Span]:
    """The path a `use` names, relative to the file that says it, and its place."""
    node = item.node
    assert isinstance(node, Line)
    word = node.parts[0]
    return Path(file.source.path).parent / str(word), item.span(file.source, word)  # type: ignore[arg-type]


def _missing(span: Span, target: Path, error: OSError, chain: list[tuple[str, Span]]) -> Finding:
    reason = (
        "there is no such file"
        if isinstance(error, FileNotFoundError)
        else (error.strerror or "it can't be read").lower()
    )
    marks = tuple(Mark(s, "which is used here") for _, s in chain)
    return Finding(
        "file-not-found",
        Severity.ERROR,
        f"`{target.as_posix()}` is used, but {reason}",
        span,
        "used here",
        marks,
        mend="mend the path; it is relative to the file that says it",
    )
