"""The numbers of steps, the one place where they are made: the sheet, the charts and the findings print the same.

The rule. Sections are numbered from 1 in written order; work before the first section is a section of its own
without a title, and counts as one. In a section every statement that stands on the paper counts on from 1, in
written order and through all its blocks (branches, lanes, rounds, loops, called blocks): step, check, measurement,
readings, question, call, wait, handover, stop, stopping place. A hold has the name it was given and doesn't count. A
note, a `when` (it belongs to its check) and a block itself have no number. A step in a repeat has one number for
all its rounds.

What one variant skips does not count for it, and a section in which nothing is left has no number, so that each
printed sheet counts without a gap. For the review print (variant None) everything counts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Ask, Call, Check, Group, Hold, Mark, Measure, Procedure, Step
from procforge.model.tree import bodies


@dataclass(frozen=True, slots=True)
class Section:
    """A section as printed: its number, its title ("" for work before the first section), its work."""

    number: int
    title: str
    body: tuple[AnyWork, ...]
    group: Group | None = None


def shown(work: AnyWork, variant: Variant | None) -> bool:
    """Whether a statement is on the paper of a variant; None for the review print, which shows all."""
    return variant is None or work.only_for.holds(variant)


def walk_shown(body: tuple[AnyWork, ...], variant: Variant | None) -> Iterator[AnyWork]:
    """Every statement of a body and its blocks that is on the paper of a variant, in written order."""
    for work in body:
        if shown(work, variant):
            yield work
            for inner in bodies(work):
                yield from walk_shown(inner, variant)


def counts(work: AnyWork) -> bool:
    """Whether a statement takes the next number of its section."""
    return isinstance(work, (Step, Check, Measure, Ask, Call)) or (isinstance(work, Mark) and work.form != "note")


def sections(procedure: Procedure, variant: Variant | None = None) -> tuple[Section, ...]:
    """The sections that are on the paper of a variant, numbered."""
    runs: list[tuple[str, tuple[AnyWork, ...], Group | None]] = []
    loose: list[AnyWork] = []
    for work in procedure.body:
        if isinstance(work, Group) and work.form == "section":
            if loose:
                runs.append(("", tuple(loose), None))
                loose = []
            runs.append((work.title, tuple(w for lane in work.lanes for w in lane), work))
        else:
            loose.append(work)
    if loose:
        runs.append(("", tuple(loose), None))
    kept = [run for run in runs if any(_on_paper(w) for w in walk_shown(run[1], variant))]
    return tuple(Section(number, title, body, group) for number, (title, body, group) in enumerate(kept, 1))


def numbers(procedure: Procedure, variant: Variant | None = None) -> dict[str, str]:
    """The printed number of each statement by its id: `4.3`, or the name of a hold."""
    found: dict[str, str] = {}
    names: Counter[str] = Counter()
    for section in sections(procedure, variant):
        count = 0
        for work in walk_shown(section.body, variant):
            if isinstance(work, Hold):
                names[work.name] += 1  # a loop makes the hold once for each member
                found[work.id] = work.name if names[work.name] == 1 else f"{work.name}-{names[work.name]}"
            elif counts(work):
                count += 1
                found[work.id] = f"{section.number}.{count}"
    return found


def span(ref: dict[str, str], works: tuple[AnyWork, ...], variant: Variant | None = None) -> str:
    """The numbers of all that counts in some statements: `4.3 to 4.9`, or the one number, or nothing."""
    found = [ref[w.id] for w in walk_shown(works, variant) if counts(w)]
    return f"{found[0]} to {found[-1]}" if len(found) > 1 else "".join(found)


def _on_paper(work: AnyWork) -> bool:
    return counts(work) or isinstance(work, (Hold, Mark))
