"""The planner's page of one variant: time and crew, kit, energies and joints in numbers, with the source of each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from procforge.analysis.machine import Machine
from procforge.analysis.proof import Proof
from procforge.engineering.base import Outside
from procforge.model.base import Variant
from procforge.model.equipment import Unit
from procforge.model.procedure import Procedure
from procforge.plan.clock import clock
from procforge.plan.crew import Plan, plan
from procforge.plan.figures import PlanFigure
from procforge.plan.gas_figures import energy_figures
from procforge.plan.joint_figures import joint_figures
from procforge.plan.kit import Line, kit
from procforge.plan.paths import Way
from procforge.sheet import front
from procforge.sheet.job import Job
from procforge.sheet.labels import Labels
from procforge.sheet.naming import Names
from procforge.sheet.numbering import numbers
from procforge.sheet.outline import Block, Cell, Figure, Heading, ListTable, PageBreak, Paragraph, Sheet, Turn
from procforge.sheet.profile import Profile
from procforge.sheet.short import short

MARK = "Planner's page. Not for field use."
_FIGURES = ("Figure", "Value", "Worked out from", "Source")


def build_plan(
    procedure: Procedure,
    variant: Variant,
    *,
    unit: Unit | None = None,
    source_hash: str,
    proof: Proof | None = None,
    machines: int = 1,
    rejected: frozenset[str] = frozenset(),
    labels: Labels | None = None,
    profile: Profile | None = None,
) -> Sheet:
    """The page as an outline. `rejected` names checks that the planner expects to be rejected; `machines` is for the kit."""
    labels, profile = labels or Labels(), profile or Profile()
    job = Job.of(procedure, variant, unit, labels, profile, proof)
    names, machine = Names(Machine(procedure.equipment, variant), unit), Machine(procedure.equipment, variant)
    blocks: list[Block] = [
        Paragraph("Every figure here is for planning. A computed time is never a proof of zero pressure; the maker's manual, "
                  "site rules and local codes go before each of them.", strong=True),
        PageBreak(Turn.LANDSCAPE),
    ]  # fmt: skip
    blocks += _time(procedure, machine, names, numbers(procedure, variant), rejected, job.unreached)
    blocks.append(Heading("Kit", 1, "B", "kit"))
    several = f" for {machines} machines (what is used up times {machines})" if machines > 1 else ""
    blocks.append(
        Paragraph(
            f"What the job takes{several}. Most: over all paths, decisions counted one by one, so it can be more than any "
            "one path takes. Likely: if everything is accepted."
        )
    )
    blocks.append(kit_table(kit(procedure, variant, names.title, machines, profile.hand_limit, job.unreached)))
    sources: dict[str, int] = {}
    limits: dict[str, None] = {}
    for letter, title, rows, none in (
        ("C", "Energies in numbers", energy_figures(procedure, machine, names.title), "No pressure space with volume, pressure and gas."),
        ("D", "Bolted joints in numbers", joint_figures(procedure, machine, names.title), "No joint with a torque."),
    ):  # fmt: skip
        blocks.append(Heading(title, 1, letter, title.split()[0].lower()))
        blocks += _figures(rows, sources) or [Paragraph(none)]
        limits |= {limit: None for row in rows for limit in row.limits}
    if sources:
        blocks.append(Heading("Sources and what the figures hold for", 1, "E", "sources"))
        blocks.append(ListTable(("No.", "Source"), tuple((str(n), s) for s, n in sources.items()), widths=(0.3, 8.0)))
        blocks += [Paragraph(limit, bullet=True) for limit in limits]
    control = replace(front.control(job, source_hash), signatures=(), changes=(), mark=MARK)
    return Sheet(control, tuple(blocks), None, replace(labels, kind="Planner's page"))


def _figures(rows: Iterable[PlanFigure], sources: dict[str, int]) -> list[Block]:
    """One table for each thing, in order; a source is a number that the list at the end explains."""
    groups: dict[str, list[PlanFigure]] = {}
    for row in rows:
        groups.setdefault(row.about, []).append(row)
    return [
        ListTable(
            _FIGURES,
            tuple(
                (
                    row.name,
                    row.value,
                    row.basis,
                    str(sources.setdefault(row.source, len(sources) + 1)) if row.source else "",
                )
                for row in found
            ),
            title=about,
            widths=(3.2, 1.4, 5.6, 0.6),
        )
        for about, found in groups.items()
    ]


def count(value: Fraction | None, unit: str = "") -> str:
    """A count as printed, empty where the file gives none."""
    if value is None:
        return ""
    text = str(int(value)) if value.denominator == 1 else f"{float(value):g}"
    return f"{text} {unit}".strip()


def kit_table(lines: Iterable[Line]) -> ListTable:
    """The kit as a table."""
    rows: list[tuple[Cell, ...]] = []
    for line in lines:
        detail = line.detail + ("; calibration in date" if line.calibrated else "")
        rows.append(
            (
                line.group,
                line.title,
                detail,
                count(line.most, line.unit),
                count(line.likely, line.unit),
                line.stock,
                line.why,
            )
        )
    head = ("Group", "Item", "Range, size, class", "Most", "Likely", "Stock no.", "Why")
    return ListTable(head, tuple(rows), widths=(1.6, 2.6, 2.8, 0.7, 0.7, 1.1, 1.3), centred=(3, 4))


# ---- time and crew -------------------------------------------------------------------------------------------------
def _minutes(seconds: float) -> str:
    total = round(seconds / 60)
    hours, rest = divmod(total, 60)
    return " ".join(([f"{hours} h"] if hours else []) + ([f"{rest} min"] if rest or not hours else []))


def _time(
    procedure: Procedure,
    machine: Machine,
    names: Names,
    ref: Mapping[str, str],
    rejected: frozenset[str],
    unreached: frozenset[int],
) -> list[Block]:
    ways = [Way.BEST, *([Way.GIVEN] if rejected else []), Way.WORST]
    plans = [(way, plan(procedure, machine, way, rejected, unreached)) for way in ways]
    blocks: list[Block] = [Heading("Time and crew", 1, "A", "time")]
    rows: list[tuple[Cell, ...]] = []
    for way, made in plans:
        if isinstance(made, Outside):
            rows.append((str(way), f"not worked out: {made.message}", "", "", "", ""))
            continue
        saves = [f"one more {role}: {_minutes(value)}" for role, value in made.saves.items() if value >= 30]
        rows.append(
            (
                str(way), _minutes(made.schedule.length.value), _minutes(made.schedule.bound.value), _minutes(made.network.length.value),
                "; ".join(saves) or "nothing", str(made.untimed),
            )
        )  # fmt: skip
    head = (
        "Way through the job",
        "Schedule",
        "None is shorter than",
        "Critical path, people aside",
        "Saved by",
        "Steps without a time",
    )
    blocks.append(ListTable(head, tuple(rows), widths=(2.0, 1.2, 1.4, 1.6, 2.2, 1.2)))
    first = next((made for _, made in plans if isinstance(made, Plan)), None)
    if first is None:
        return blocks
    blocks.append(
        Paragraph(
            "The schedule is feasible and not below the bound; a shorter one may exist. It follows what must come before what, not the "
            "written order. Steps without a stated time count as none, one person does one thing at a time, and breaks are not in it."
        )
    )
    return blocks + _schedule(first, names, ref)


def _schedule(made: Plan, names: Names, ref: Mapping[str, str]) -> list[Block]:
    jobs = {job.name: job for job in made.jobs}
    labels = {name: ref.get(job.work.id, "") for name, job in jobs.items()}
    rows: list[tuple[Cell, ...]] = []
    times = {one.name: one for one in made.network.times}
    for slot in made.schedule.slots:
        if slot.finish <= slot.start:
            continue
        who = ", ".join(f"{role} {number}" for role, number in slot.people) or "wait"
        slack = times[slot.name].late_start - times[slot.name].early_start
        rows.append(
            (
                _minutes(slot.start), _minutes(slot.finish), labels[slot.name], short(jobs[slot.name].work, names), who,
                "critical" if slot.name in made.network.critical else _minutes(slack),
            )
        )  # fmt: skip
    people: list[tuple[Cell, ...]] = [
        (f"{role} {number}", _minutes(busy), _minutes(made.schedule.idle[role, number]))
        for (role, number), busy in made.schedule.busy.items()
    ]
    picture = clock(made, labels)
    return [
        Figure(picture.alt, f"Who does what when, {made.way}; dark: on the critical path", drawing=picture, width=picture.width),
        ListTable(("From", "To", "Step", "Work", "Who", "Slack"), tuple(rows), title=f"Schedule: {made.way}",
                  widths=(0.8, 0.8, 0.7, 4.0, 2.0, 1.0), centred=(2,)),
        ListTable(("Person", "Busy", "Idle"), tuple(people), title="People", widths=(2.0, 1.0, 1.0)),
    ]  # fmt: skip
