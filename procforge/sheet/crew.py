"""Who is needed and for how long, from the times that the steps state and from nothing else."""

from __future__ import annotations

from fractions import Fraction

from procforge.model.procedure import AnyWork, Ask, Check, Group, Hold, Measure, Repeat, Step, When
from procforge.sheet.inline import Blank, BlankKind, Cell
from procforge.sheet.job import Job
from procforge.sheet.outline import ListTable

Times = dict[str, Fraction]  # seconds by role; "" where a step names none


def times(job: Job, works: tuple[AnyWork, ...]) -> Times:
    """The stated times by role on the longest way; a repeat counts once."""
    total: Times = {}
    for work in works:
        if not job.applies(work):
            continue
        found: Times = {}
        match work:
            case Step() | Check() | Measure() | Hold() if work.takes is not None:
                found = {work.role: work.takes.si}
            case Ask():
                found = _longest([times(job, work.yes), times(job, work.no)])
            case When():
                found = _longest([times(job, work.body), times(job, work.otherwise)])
            case Repeat():
                found = times(job, work.body)
            case Group(form="either"):
                found = _longest([times(job, lane) for lane in work.lanes])
            case Group():
                for lane in work.lanes:
                    _add(found, times(job, lane))
        _add(total, found)
    return total


def _longest(ways: list[Times]) -> Times:
    return max(ways, key=lambda way: sum(way.values()), default={})


def _add(total: Times, more: Times) -> None:
    for role, seconds in more.items():
        total[role] = total.get(role, Fraction(0)) + seconds


def clock(seconds: Fraction) -> str:
    """`1 h 25 min`; whole minutes, rounded up."""
    minutes = -(-seconds // 60)
    hours, rest = divmod(int(minutes), 60)
    return " ".join(
        part for part in (f"{hours}\u00a0h" if hours else "", f"{rest}\u00a0min" if rest or not hours else "") if part
    )


def crew_table(job: Job) -> ListTable | None:
    """People, skill and time; a name is entered for each."""
    labels, stated = job.labels, times(job, job.procedure.body)
    skills = dict(job.procedure.qualified)
    counts = {one.role: str(one.count) for one in job.procedure.crew}
    roles = list(dict.fromkeys([*counts, *skills, *(r for r in stated if r)]))
    rows: list[tuple[Cell, ...]] = []
    for role in roles:
        spent = clock(stated[role]) if role in stated else job.labels.not_stated
        name = Blank(f"crew.{role}"[:64], BlankKind.TEXT, f"Names, {job.names.role(role)}")
        rows.append((job.names.role(role), counts.get(role, ""), skills.get(role, ""), spent, name))
    if "" in stated:
        rows.append((job.labels.any_of_crew, "", "", clock(stated[""]), ""))
    if not rows:
        return None
    return ListTable(
        (labels.people, labels.count, labels.skill, labels.stated_times, labels.names),
        tuple(rows),
        widths=(1.1, 0.65, 2.4, 1.0, 2.0),
        centred=(1,),
    )
