"""Pictures beside steps: read beside the procedure; one that is missing is named, so that nobody misses it unawares."""

from __future__ import annotations

from procforge.model.procedure import Figure as Given
from procforge.sheet.job import Job
from procforge.sheet.rows import Figure

_PNG = b"\x89PNG\r\n\x1a\n"


def pictures(job: Job, figures: tuple[Given, ...]) -> tuple[Figure, ...]:
    """The figures of a step that are PNG files on disk."""
    found = []
    for given in figures:
        path = job.folder() / given.file
        try:
            content = path.read_bytes()
        except OSError:
            continue
        if content.startswith(_PNG):
            found.append(Figure(given.caption or given.file, given.caption, png=content))
    return tuple(found)


def missing(job: Job, figures: tuple[Given, ...]) -> tuple[str, ...]:
    """What a sheet says in place of pictures that can't be shown."""
    shown = {figure.caption or figure.alt for figure in pictures(job, figures)}
    return tuple(f"See figure {f.file}: {f.caption}." for f in figures if (f.caption or f.file) not in shown)
