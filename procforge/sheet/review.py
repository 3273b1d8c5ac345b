"""The review print: one document for all variants of a procedure, for the planner, the reviewer and the approver.

Each variant's field sheet is built with the numbers of the whole procedure, then the sheets are laid over each other:
what they have in common is printed once, what differs stands side by side. Nothing of the work can be entered in it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from procforge.findings import Finding, Severity
from procforge.rules.base import Case
from procforge.sheet import review_plan as plan
from procforge.sheet.build import build_sheet
from procforge.sheet.fields import signing
from procforge.sheet.inline import Cell, Run
from procforge.sheet.labels import Labels
from procforge.sheet.numbering import numbers
from procforge.sheet.outline import (
    Block,
    Control,
    Heading,
    ListTable,
    PageBreak,
    Paragraph,
    Sheet,
    Steps,
    Turn,
    WhereWeAre,
)
from procforge.sheet.panels import signal_name
from procforge.sheet.profile import RANK, Profile
from procforge.sheet.review_align import align
from procforge.sheet.review_names import VariantNames
from procforge.sheet.review_rows import ReviewSteps
from procforge.sheet.review_tables import merged
from procforge.sheet.review_values import differing_values
from procforge.sheet.review_work import ReviewWork
from procforge.sheet.rows import HazardPanel, Row, StepRow

MARK = "Review print. Not for field use."
NOT_PROVED = "Not proved."
READING = (
    "What is printed once holds for every variant. Where variants differ, each has its lines under its name, side by side.",
    "Steps have one number for all variants. In small print beside it: the line of the source, and the number on the "
    "field sheet of those variants that count otherwise.",
    "A signal word at a step stands for the whole panel of section C, which the field sheet prints before that step.",
    "Tick what is agreed, write what is not. Nothing of the work itself can be recorded in this print.",
)


@dataclass(frozen=True, slots=True)
class Parts:
    """One variant's sheet, taken apart: what stands before the work, the sections with their rows, what stands after."""

    before: tuple[Block, ...]
    sections: tuple[tuple[Heading, tuple[Row, ...]], ...]
    after: tuple[Block, ...]


def build_review(
    case: Case,
    findings: Sequence[Finding],
    *,
    sound: bool,
    source_hash: str,
    budget: int,
    labels: Labels | None = None,
    profile: Profile | None = None,
) -> Sheet:
    """The review print of all variants of a case; `budget` is what the proof was given. Needs at least one variant."""
    labels, profile = labels or Labels(), profile or Profile()
    names = VariantNames(case.equipment, case.variants)
    sheets = [
        build_sheet(case.procedure, v, source_hash=source_hash, proof=case.proof, labels=labels, profile=profile, review=True)
        for v in case.variants
    ]  # fmt: skip
    parts = [parted(sheet) for sheet in sheets]
    work = ReviewWork(case.procedure, sheets, names, labels)
    blocks: list[Block] = _planner(case, findings, source_hash, names, budget, labels, profile, sound=sound)
    values = differing_values(case.equipment, names)
    if values:
        blocks.append(Heading("What differs between the variants", 1, anchor="differences"))
        blocks.append(Paragraph("Every value that the machine file gives differently for the variants of this print."))
        blocks.append(ReviewSteps(values, ("Line", "Item and its values", "", "")))
    blocks += merged([_without_hazards(part.before) for part in parts], names, labels)
    blocks += _hazards(parts, labels)
    for row in align([part.sections for part in parts], lambda pair: pair[0].anchor):
        heading = row.first[0]
        sides = [pair[1] if pair is not None else () for pair in row.items]
        only = names.some(row.having)
        blocks.append(replace(heading, text=f"{heading.text} (only for {only})") if only else heading)
        blocks.append(ReviewSteps((*work.rows(sides), work.end(heading.number, heading.text))))
    blocks += merged([part.after for part in parts], names, labels)
    blocks += _signatures()
    annex = plan.order(case, names)
    blocks += [PageBreak(Turn.LANDSCAPE), *annex] if annex else []
    head = _control(sheets[0].control, names, sound=sound)
    return Sheet(head, tuple(blocks), None, replace(labels, kind="Review print"), Turn.LANDSCAPE)


def parted(sheet: Sheet) -> Parts:
    """A field sheet taken apart; pages for handing over and tearing off are copies and left out."""
    before: list[Block] = []
    sections: list[tuple[Heading, list[Row]]] = []
    after: list[Block] = []
    where = before
    for block in sheet.blocks:
        if isinstance(block, Heading) and block.anchor.startswith("section-"):
            sections.append((block, []))
            continue
        if isinstance(block, Heading) and block.anchor == "close-out":
            where = after
        if isinstance(block, PageBreak | WhereWeAre):
            if where is after:
                break
            continue
        if isinstance(block, Steps) and sections and where is before:
            sections[-1][1].extend(block.rows)
        elif block != Paragraph(sheet.labels.see_tear_off):
            where.append(block)
    return Parts(tuple(before), tuple((head, tuple(rows)) for head, rows in sections), tuple(after))


def _control(control: Control, names: VariantNames, *, sound: bool) -> Control:
    """The control data of the procedure, without what is one variant's or the field's."""
    mark = " ".join((MARK, *(() if sound else (NOT_PROVED,)), *((f"{control.status}.",) if control.mark else ())))
    count = len(names.variants)
    variants = f"{count} variants, side by side" if count > 1 else names.one(0)
    return replace(control, tag="", serial="", model=variants, service="", work_order=None, mark=mark)


def _planner(
    case: Case, findings: Sequence[Finding], source_hash: str, names: VariantNames, budget: int, labels: Labels, profile: Profile,
    *, sound: bool,
) -> list[Block]:  # fmt: skip
    """What is for the planner's page; findings first where the procedure is not proved."""
    own = case.procedure.file
    grave = [f for f in findings if f.severity > Severity.NOTE]
    notes = [f for f in findings if f.severity <= Severity.NOTE]
    first = plan.told(grave, names, "Findings to be mended before use" if not sound else "Warnings of the check", own)
    out: list[Block] = [Heading("Result of the check", 1, anchor="result")]
    out += [] if sound else first
    out += plan.result(case, findings, source_hash, names, budget, sound=sound)
    out += first if sound else []
    out += plan.told(notes, names, "Notes of the check", own)
    if not findings:
        out.append(Paragraph("The check has no warning and no note."))
    out += plan.waivers(case, numbers(case.procedure))
    out += plan.house_rules(case, sound=sound)
    out += plan.stated_times(case, names, labels, profile)
    out += [Heading("How to read this print", 2), *(Paragraph(line, bullet=True) for line in READING)]
    return out


def _without_hazards(blocks: Sequence[Block]) -> list[Block]:
    """The hazard table goes: the review print has a fuller one."""
    out: list[Block] = []
    skipping = False
    for block in blocks:
        if isinstance(block, Heading):
            skipping = block.anchor == "hazards"
        if not skipping:
            out.append(block)
    return out


def _hazards(parts: Sequence[Parts], labels: Labels) -> list[Block]:
    """Every panel once, whole, with the steps before which it stands."""
    met: dict[HazardPanel, dict[str, None]] = {}
    for part in parts:
        for _, rows in part.sections:
            for at, row in enumerate(rows):
                follows = getattr(rows[at + 1], "number", "") if at + 1 < len(rows) else ""
                panels = row.hazards if isinstance(row, StepRow) else (row,) if isinstance(row, HazardPanel) else ()
                number = row.number if isinstance(row, StepRow) else follows
                for panel in panels:
                    met.setdefault(panel, {})[number.partition("/")[0]] = None
    head = Heading(labels.hazards, 1, "C", "hazards")
    if not met:
        return [head, Paragraph("None named by this procedure.")]
    rows_: list[tuple[Cell, ...]] = []
    for panel in sorted(met, key=lambda p: RANK[p.signal]):
        word = (Run(signal_name(labels, panel.signal), strong=True),)
        place = f" ({panel.place})" if panel.place else ""
        avoid = " ".join(
            line if isinstance(line, str) else "".join(p if isinstance(p, str) else p.text for p in line)
            for line in panel.avoid
        )
        rows_.append(
            (
                word,
                (Run(panel.hazard + place, strong=True),),
                panel.consequence,
                avoid,
                ", ".join(panel.wear),
                ", ".join(sorted(filter(None, met[panel]), key=_counted)),
            )
        )
    names = ("Signal word", "Hazard and place", "What it does", "How to keep out of it", labels.wear, "Before step")
    return [head, ListTable(names, tuple(rows_), widths=(1, 1.7, 2.4, 2.6, 1.7, 1.4))]


def _counted(number: str) -> tuple[tuple[int, str], ...]:
    """Numbers in the order of counting: 4.9 before 4.10."""
    return tuple((int(part), "") if part.isdigit() else (0, part) for part in re.split(r"(\d+)", number) if part != ".")


def _signatures() -> list[Block]:
    """Who answers for the review, by signature."""
    rows: list[tuple[Cell, ...]] = []
    for part, task in (
        ("planner", "Planner: every comment answered"),
        ("reviewer", "Reviewer: every step and value seen"),
        ("approver", "Approver: released for the variants of this print"),
    ):
        rows.append(((Run(task, strong=True),), *signing(f"review.{part}")[:3]))
    table = ListTable(("Review and approval", "Name", "Signature", "Date"), tuple(rows), widths=(2.6, 1.9, 2.0, 1.2))
    return [Heading("Review and approval", 1, anchor="review"), table]
