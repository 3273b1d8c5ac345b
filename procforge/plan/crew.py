"""Time and crew: the dependency graph with the stated times, its critical path, and a schedule for the crew given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from procforge.analysis.depends import closure, dependencies
from procforge.analysis.machine import Machine
from procforge.analysis.order_walk import Unit
from procforge.engineering.base import Outside
from procforge.engineering.network import Activity, Network, critical_path
from procforge.engineering.schedule import Schedule, one_more, schedule
from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Check, Mark, Measure, Procedure, Repeat, Step
from procforge.model.tree import walk
from procforge.plan.paths import Walk, Way, seconds, walk_of


@dataclass(frozen=True, slots=True)
class Job:
    """One unit of work on the way: its statement, the units it follows, its duration in s, its people by role."""

    name: str
    work: AnyWork
    activity: Activity


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan of one way: activities in written order, critical path, schedule, what one more of each role saves (s).

    `untimed` counts the steps without a stated time, `crew` the people by role that it is made for.
    """

    way: Way
    jobs: tuple[Job, ...]
    network: Network
    schedule: Schedule
    saves: Mapping[str, float]
    untimed: int
    crew: Mapping[str, int]


def plan(
    procedure: Procedure,
    machine: Machine,
    way: Way,
    rejected: frozenset[str] = frozenset(),
    unreached: frozenset[int] = frozenset(),
) -> Plan | Outside:
    """The plan of one way for the crew the procedure states; Outside where no step states a time."""
    met = walk_of(procedure, machine.variant, way, rejected, unreached)
    crew = crew_of(procedure, machine.variant, met)
    jobs, untimed = _jobs(procedure, machine, met, next(iter(crew), ""))
    activities = [job.activity for job in jobs]
    if not any(one.duration for one in activities):
        return Outside("no step states how long it takes", "write `takes 10 min` under the steps")
    network = critical_path(activities)
    if isinstance(network, Outside):
        return network
    made = schedule(activities, crew)
    if isinstance(made, Outside):
        return made
    saves = one_more(activities, crew)
    if isinstance(saves, Outside):
        return saves
    return Plan(way, tuple(jobs), network, made, saves, untimed, crew)


def crew_of(procedure: Procedure, variant: Variant, met: Walk) -> dict[str, int]:
    """People by role: the crew stated, and one of each other role that a statement names."""
    crew = {one.role: one.count for one in procedure.crew}
    for work in walk(procedure.body):
        role = getattr(work, "role", "")
        if role and id(work) in met.times and work.only_for.holds(variant):
            crew.setdefault(role, 1)
    return crew or {"crew": 1}


def _jobs(procedure: Procedure, machine: Machine, met: Walk, anyone: str) -> tuple[list[Job], int]:
    depends = dependencies(procedure, machine)
    kept = [unit for unit in depends.units if id(unit.work) in met.times]
    before = closure(len(depends.units), ((edge.source, edge.target) for edge in depends.binding))
    follows = {unit.number: [u.number for u in kept if before[unit.number] >> u.number & 1] for unit in kept}
    followed = {number for earlier in follows.values() for number in earlier}
    for at, unit in enumerate(kept):  # what nothing holds keeps its place in the written order
        if not follows[unit.number] and at:
            follows[unit.number] = [kept[at - 1].number]
        if unit.number not in followed and at + 1 < len(kept):
            follows[kept[at + 1].number].append(unit.number)
    jobs, untimed = [], 0
    for unit in kept:
        length, roles, bare = _time(unit, met)
        untimed += bare
        people = tuple((role or anyone, 1) for role in roles) if length else ()
        after = tuple(str(n) for n in _nearest(follows[unit.number], follows))
        jobs.append(
            Job(str(unit.number), unit.work, Activity(str(unit.number), length, tuple(dict.fromkeys(people)), after))
        )
    return jobs, untimed


def _nearest(earlier: list[int], follows: Mapping[int, list[int]]) -> list[int]:
    """The earlier units without those that a longer way implies."""
    implied = {n for one in earlier for n in follows[one]}
    return sorted({n for n in earlier if n not in implied})


def _time(unit: Unit, met: Walk) -> tuple[float, tuple[str, ...], int]:
    """Duration in s, roles, and how many statements in the unit state no time; a repeat holds all its rounds."""
    inner = walk((unit.work,)) if isinstance(unit.work, Repeat) or unit.work.kind == "group" else iter((unit.work,))
    total, roles, bare = 0.0, dict[str, None](), 0
    for work in inner:
        times = met.times.get(id(work), 0)
        if not times:
            continue
        own = float(seconds(work)) * times
        total += own
        if isinstance(work, Step | Check | Measure) and not own:
            bare += 1
        if own and not (isinstance(work, Mark) and work.form == "wait"):
            roles[getattr(work, "role", "")] = None
    return total, tuple(roles), bare
