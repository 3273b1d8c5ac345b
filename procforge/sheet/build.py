"""The field sheet of one variant of a procedure, whole: from the models to the format-neutral outline."""

from __future__ import annotations

from procforge.analysis.proof import Proof
from procforge.model.base import Variant
from procforge.model.equipment import Unit
from procforge.model.procedure import Procedure
from procforge.model.tree import walk
from procforge.sheet import close, energies, front, kit
from procforge.sheet.arms import resolved
from procforge.sheet.fields import field_id, initials
from procforge.sheet.flow import flow_chart
from procforge.sheet.job import Job
from procforge.sheet.labels import Labels
from procforge.sheet.numbering import Section, numbers, sections
from procforge.sheet.outline import Block, ChartPages, Heading, PageBreak, Paragraph, Sheet, Steps, Turn
from procforge.sheet.pictures import numbered
from procforge.sheet.profile import Profile
from procforge.sheet.rows import Row, StepRow
from procforge.sheet.stack_figures import stack_figures
from procforge.sheet.work import Work


def build_sheet(
    procedure: Procedure,
    variant: Variant,
    *,
    unit: Unit | None = None,
    source_hash: str,
    proof: Proof | None = None,
    labels: Labels | None = None,
    profile: Profile | None = None,
    review: bool = False,
) -> Sheet:
    """The sheet a technician works from, for one model and service, or for one unit with its tags.

    What other variants do is left out, and so is what the proof found no way to. `source_hash` is the hex digest of
    the sources. Each blank's id comes from the identity of its step, so it outlives a new number. With
    `review` steps have the numbers of the whole procedure, which all variants share.
    """
    labels = labels or Labels()
    job = Job.of(procedure, variant, unit, labels, profile or Profile(), proof)
    job.review = review
    work = Work(job)
    own = numbers(procedure, variant)
    parts: list[tuple[Section, int, int]] = []
    for section in sections(procedure, None if review else variant):
        if not any(one.id in own for one in walk(section.body)):
            continue  # another variant's section
        start = len(work.rows)
        for text in section.group.prose if section.group else ():
            work.rows.append(StepRow("", (text,)))
        work.body(section.body, 0)
        work.rows.append(_section_end(job, section))
        parts.append((section, start, len(work.rows)))
    rows = resolved(work.rows, labels.go_to_closing.format(letter=labels.closing_letter, title=labels.closing.lower()))
    piles = {} if review else stack_figures(job)  # a stack is one variant's: the review print has its values as lines
    blocks: list[Block] = [*front.before(job), *kit.kit(job)]
    blocks += [Heading(labels.energies, 1, "B", "energies"), *energies.table(job)]
    if energies.devices(job):
        blocks.append(Paragraph(labels.see_tear_off))
    blocks += [Heading(labels.hazards, 1, "C", "hazards"), *front.hazards(job)]
    for section, start, stop in parts:
        blocks.append(Heading(_title(job, section), 1, str(section.number), f"section-{section.number}"))
        blocks += piles.get(section.number, ())
        blocks.append(Steps(tuple(rows[start:stop])))
    blocks += close.close_out(job)
    blocks += _last_pages(job, work)
    return Sheet(front.control(job, source_hash), numbered(blocks, labels), front.name_plate(job), labels)


def _title(job: Job, section: Section) -> str:
    """The section's title, with its places where the title doesn't name them."""
    title = section.title or job.labels.work
    places = [job.names.place(p) for p in section.group.places] if section.group else []
    missing = [p for p in places if p not in title.lower()]
    return f"{title} ({', '.join(missing)})" if missing else title


def _section_end(job: Job, section: Section) -> Row:
    """Who did the section signs once, at its end."""
    first = next((w.id for w in section.body if w.id), str(section.title))
    key = field_id(f"section.{section.title or first}".replace(" ", "-"))
    return StepRow(
        "",
        (job.labels.section_done.format(number=section.number),),
        key,
        initials=initials(key),
    )


def _last_pages(job: Job, work: Work) -> list[Block]:
    """Where-we-are pages to be handed over, the flow charts, then the isolation list to be torn off, lying."""
    return [*work.pages, *_charts(job), *energies.tear_off(job)]


def _charts(job: Job) -> list[Block]:
    """The flow of this variant on pages of its own; the review print has its own way to show what differs."""
    if job.review:
        return []
    labels = job.labels
    chart = flow_chart(job.procedure, job.machine.variant, job.names)
    head = Heading(labels.charts, 1, labels.charts_letter, "charts")
    return [PageBreak(Turn.PORTRAIT), head, Paragraph(labels.charts_says), ChartPages(chart)]
