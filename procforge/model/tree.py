"""Walks over the work of a procedure."""

from __future__ import annotations

from collections.abc import Iterator

from procforge.model.procedure import AnyWork, Ask, Group, Repeat, When


def bodies(work: AnyWork) -> tuple[tuple[AnyWork, ...], ...]:
    """The bodies a statement has, in written order."""
    if isinstance(work, Group):
        return work.lanes
    if isinstance(work, Ask):
        return (work.yes, work.no) if work.answered[:1] != ("no",) else (work.no, work.yes)
    if isinstance(work, When):
        return (work.body, work.otherwise)
    if isinstance(work, Repeat):
        return (work.body, work.otherwise or ())
    return ()


def walk(body: tuple[AnyWork, ...]) -> Iterator[AnyWork]:
    """Every statement of a body and of its blocks, in written order."""
    for work in body:
        yield work
        for inner in bodies(work):
            yield from walk(inner)
