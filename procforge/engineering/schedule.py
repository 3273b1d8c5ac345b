"""Who does what when: a schedule for the crew given, with a bound below which none can be.

The schedule is feasible and not below the bound. It is not claimed to be the shortest there is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

from procforge.engineering.base import Input, Outside, Result, number
from procforge.engineering.bound import lower_bound
from procforge.engineering.network import Activity, earliest, ordered, tails
from procforge.engineering.placing import Task, justified, parallel, serial

SOURCE = "list scheduling, serial and parallel scheme (Kelley 1963), best of several priority rules"
LIMITS = ("feasible, not below the bound; a shorter schedule may exist", "durations and crew as stated, no breaks")
_SAMPLES = 200  # orders tried beside the rules, fewer for long jobs
_SAMPLED_WORK = 12000  # samples times activities, to keep it light
_SEED = 1  # the same job gives the same schedule


@dataclass(frozen=True, slots=True)
class Slot:
    """One activity in the schedule: who, as (role, number from 1), from `start` to `finish`."""

    name: str
    start: float
    finish: float
    people: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Schedule:
    """`slots` by start time; `length` and lower `bound` in s; busy and idle time in s of each person by (role, no)."""

    slots: tuple[Slot, ...]
    length: Result
    bound: Result
    rule: str
    busy: Mapping[tuple[str, int], float]
    idle: Mapping[tuple[str, int], float]


def schedule(activities: Sequence[Activity], crew: Mapping[str, int]) -> Schedule | Outside:
    """A schedule of the activities for a crew of so many people by role; one person does one activity at a time.

    An activity without `needs` (a wait) takes no one, one without duration takes nobody's time. Outside for a faulty network, or an activity that needs more
    people than the crew has.
    """
    found = _task(activities, crew)
    if isinstance(found, Outside):
        return found
    task, roles = found
    bound = lower_bound(task.durations, task.needs, task.crew, task.order)
    rule, starts = _best(task, bound)
    length = task.length(starts)
    people = _assign(activities, starts)
    slots = [Slot(a.name, s, s + a.duration, who) for a, s, who in zip(activities, starts, people, strict=True)]
    place = {index: at for at, index in enumerate(task.order.sequence)}
    shown = sorted(range(len(slots)), key=lambda i: (slots[i].start, slots[i].finish, place[i]))
    busy = {(role, n): 0.0 for role in roles for n in range(1, crew[role] + 1)}
    for slot in slots:
        for person in slot.people:
            busy[person] += slot.finish - slot.start
    inputs = (
        *(Input(f"crew, {role}", crew[role]) for role in roles),
        *(Input(f"duration of {a.name}", a.duration, "s") for a in activities),
    )
    return Schedule(
        tuple(slots[i] for i in shown),
        Result(length, "s", f"list schedule, {rule}", inputs, SOURCE, LIMITS),
        Result(
            bound,
            "s",
            "greatest of: critical path; work of a role over its people, with what must precede and follow; pairs",
            inputs,
            "each by relaxing all other limits",
            ("no schedule is shorter; one of this length need not exist",),
        ),
        rule,
        busy,
        {person: length - time for person, time in busy.items()},
    )


def one_more(activities: Sequence[Activity], crew: Mapping[str, int]) -> Mapping[str, float] | Outside:
    """For each role, by how many s the schedule gets shorter with one more person; 0 where nothing shorter is found."""
    now = schedule(activities, crew)
    if isinstance(now, Outside):
        return now
    saved: dict[str, float] = {}
    for role in crew:
        more = schedule(activities, {**crew, role: crew[role] + 1})
        saved[role] = 0.0 if isinstance(more, Outside) else max(0.0, now.length.value - more.length.value)
    return saved


def _task(activities: Sequence[Activity], crew: Mapping[str, int]) -> tuple[Task, tuple[str, ...]] | Outside:
    order = ordered(activities)
    if isinstance(order, Outside):
        return order
    if not activities:
        return Outside("there are no activities")
    for role, people in crew.items():
        fault = number(f"the number of people as {role}", people, least=0)
        if fault:
            return fault
    roles = tuple(crew)
    needs: list[tuple[tuple[int, int], ...]] = []
    for activity in activities:
        wanted: dict[str, int] = {}
        for role, count in activity.needs:
            if count < 0:
                return Outside(f"{activity.name} needs {count} {role}", "a number of people is 0 or more")
            wanted[role] = wanted.get(role, 0) + count
        for role, count in wanted.items():
            if count > crew.get(role, 0):
                return Outside(
                    f"{activity.name} needs {count} {role}, the crew has {crew.get(role, 0)}",
                    "add to the crew, or share the work out otherwise",
                )
        taken = wanted if activity.duration else {}  # what takes no time takes nobody's time
        needs.append(tuple((roles.index(role), count) for role, count in taken.items() if count))
    return Task([a.duration for a in activities], needs, [crew[r] for r in roles], order), roles


def _rules(task: Task) -> dict[str, list[float]]:
    """Priorities by rule, lowest first."""
    count = len(task.durations)
    heads, tail = earliest(task.durations, task.order), tails(task.durations, task.order)
    length = max(h + d + t for h, d, t in zip(heads, task.durations, tail, strict=True))
    followers: list[set[int]] = [set() for _ in range(count)]
    for index in reversed(task.order.sequence):
        for later in task.order.following[index]:
            followers[index] |= {later} | followers[later]
    work = [task.durations[i] * sum(n / task.crew[role] for role, n in task.needs[i]) for i in range(count)]
    return {
        "latest finish first": [length - t for t in tail],
        "latest start first": [length - t - d for t, d in zip(tail, task.durations, strict=True)],
        "least slack first": [length - t - d - h for t, d, h in zip(tail, task.durations, heads, strict=True)],
        "most followers first": [-float(len(f)) for f in followers],
        "most work behind first": [-work[i] - sum(work[j] for j in followers[i]) for i in range(count)],
    }


def _best(task: Task, bound: float) -> tuple[str, list[float]]:
    """The shortest schedule found: every rule in both schemes, then orders near the best rule's, drawn at random."""
    best_rule, best = "", [0.0]
    best_length = float("inf")

    def tried(rule: str, starts: list[float]) -> bool:
        """Keep it if shorter, whether as placed or pushed; true once the bound is reached."""
        nonlocal best_rule, best, best_length
        for _ in range(3):
            length = task.length(starts)
            if length < best_length:
                best_rule, best, best_length = rule, starts, length
            if best_length <= bound * (1 + 1e-9):
                return True
            again = justified(task, starts)
            if task.length(again) >= length:
                break
            starts = again
        return False

    rules = _rules(task)
    for rule, priority in rules.items():
        if tried(f"{rule}, serial", serial(task, priority)) or tried(f"{rule}, parallel", parallel(task, priority)):
            return best_rule, best
    chance = Random(_SEED)
    latest = rules["latest finish first"]
    spread = (max(latest) - min(latest)) or 1.0
    for number_ in range(min(_SAMPLES, _SAMPLED_WORK // len(latest))):
        base = best if number_ % 2 else latest
        priority = [p + spread * chance.gauss(0, 0.15) for p in base]
        scheme = parallel if number_ % 4 == 0 else serial
        if tried("an order found by trial", scheme(task, priority)):
            break
    return best_rule, best


def _assign(activities: Sequence[Activity], starts: Sequence[float]) -> list[tuple[tuple[str, int], ...]]:
    """People by number: whoever is free, first those who did what comes just before, then the lowest number."""
    who: dict[str, tuple[tuple[str, int], ...]] = {}
    until: dict[tuple[str, int], float] = {}
    for index in sorted(range(len(activities)), key=lambda i: (starts[i], activities[i].duration > 0)):
        activity, start = activities[index], starts[index]
        known = {person for name in activity.after for person in who.get(name, ())}
        chosen: list[tuple[str, int]] = []
        for role, count in activity.needs:
            free: list[tuple[str, int]] = []
            n = 1
            # Times of equal instants differ in the last digit when they were added up along other chains.
            while len(free) < count or any(p[0] == role and p[1] >= n for p in known):
                person = (role, n)
                done = until.get(person, 0.0) <= start + 1e-9 * max(1.0, start)
                if (done or not activity.duration) and person not in chosen:
                    free.append(person)
                n += 1
            free.sort(key=lambda p: (p not in known, p[1]))
            chosen += free[:count]
        if activity.duration:
            until |= dict.fromkeys(chosen, start + activity.duration)
        who[activity.name] = tuple(chosen)
    return [who[a.name] for a in activities]
