"""The profile of a procedure: the nearest `site.toml` upward from it, whole; those further up count for nothing."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from procforge.findings import Outcome
from procforge.site.model import NO_SITE, Site
from procforge.site.read import Bytes, Texts, read_site, unreadable

NAME = "site.toml"


def candidates(path: Path) -> Iterator[Path]:
    """Where a profile for the file at `path` may lie, nearest first, up to the root of the file system.

    Paths are given as the user gave the file's: relative as far as they go, then whole. Links are not followed: the
    folders are those of the path as written.
    """
    here = Path(os.path.normpath(path.parent))
    if not here.is_absolute() and ".." not in here.parts:
        yield from (folder / NAME for folder in (here, *here.parents))
        if Path.cwd() == Path.cwd().parent:
            return
        here = Path.cwd().parent
    whole = Path(os.path.normpath(here.absolute()))
    yield from (folder / NAME for folder in (whole, *whole.parents))


def find_site(path: Path, labels: Texts, file: Bytes) -> Outcome[Site]:
    """The profile for the procedure at `path`; `NO_SITE` where there is none.

    `labels` and `file` as in `read_site`. A profile that is there and can't be read is a finding: the search does not
    go on past it to another site's.
    """
    for candidate in candidates(path):
        shown = candidate.as_posix()
        try:
            raw = file(candidate)
        except (FileNotFoundError, NotADirectoryError):
            continue
        except (OSError, ValueError) as error:
            reason = (getattr(error, "strerror", None) or "it has no readable name").lower()
            return Outcome(
                Site(shown),
                (unreadable(shown, f"the site profile can't be read: {reason}", "make it a readable file"),),
            )
        return read_site(shown, raw, labels, file)
    return Outcome(NO_SITE)
