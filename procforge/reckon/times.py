"""Time and crew: critical path, three-point estimates, a schedule for the people there are."""

from __future__ import annotations

import re

from procforge.engineering.base import Outside
from procforge.engineering.network import Activity, chance_by, critical_path, path_variance, three_point
from procforge.engineering.schedule import one_more, schedule
from procforge.quantities import Problem, read_number
from procforge.reckon.base import Answer, Calculation, Figure, Param, Words, Wrong, refused
from procforge.reckon.given import Given

GROUP = "time"
_FORM = "write NAME=DURATION, then after=A,B and by=fitter:2 as needed, as 'B=3 after=A by=fitter:1'"
_NAME = re.compile(r"[\w-]+\Z")


def _activities(given: Given) -> tuple[list[Activity], dict[str, tuple[float, float, float]]] | Wrong:
    """Activities from texts such as `B=3 after=A by=fitter`, or `B=2/3/5` with three estimates."""
    made: list[Activity] = []
    estimates: dict[str, tuple[float, float, float]] = {}
    for text in given.texts("activity"):
        head, *rest = text.split() or [""]
        name, _, length = head.partition("=")
        if not _NAME.match(name) or not length:
            return Wrong("activity", f"'{text}' is no activity", _FORM)
        numbers = _lengths(length)
        if isinstance(numbers, Wrong):
            return Wrong("activity", f"'{text}': {numbers.message}", numbers.hint)
        duration = numbers[0]
        if len(numbers) == 3:
            estimate = three_point(numbers[0], numbers[1], numbers[2])
            if isinstance(estimate, Outside):
                return Wrong("activity", f"'{text}': {estimate.message}", estimate.hint)
            estimates[name] = (estimate[0].value, estimate[1].value, 0.0)
            duration = estimate[0].value
        after: tuple[str, ...] = ()
        needs: tuple[tuple[str, int], ...] = ()
        for word in rest:
            key, _, value = word.partition("=")
            if key == "after" and value:
                after = tuple(value.split(","))
            elif key == "by" and value:
                people = _people(value)
                if isinstance(people, Wrong):
                    return Wrong("activity", f"'{text}': {people.message}", people.hint)
                needs = people
            else:
                return Wrong("activity", f"'{text}': '{word}' is not understood", _FORM)
        made.append(Activity(name, duration, needs, after))
    return made, estimates


def _lengths(text: str) -> list[float] | Wrong:
    parts = text.split("/")
    found = [read_number(part) for part in parts]
    if len(parts) not in (1, 3) or any(isinstance(one, Problem) for one in found):
        return Wrong("activity", f"'{text}' is no duration", "write one number, or least/likely/most as 2/3/5")
    return [float(one) for one in found if not isinstance(one, Problem)]


def _people(text: str) -> tuple[tuple[str, int], ...] | Wrong:
    made = []
    for part in text.split(","):
        role, _, count = part.partition(":")
        if not _NAME.match(role) or (count and not count.isdigit()):
            return Wrong("crew", f"'{part}' is no role with a number", "write fitter:2")
        made.append((role, int(count or 1)))
    return tuple(made)


def path(given: Given) -> Answer | Wrong:
    """Critical path, slack of each activity, and the spread where three estimates are given."""
    read = _activities(given)
    if isinstance(read, Wrong):
        return read
    activities, estimates = read
    net = critical_path(activities)
    if isinstance(net, Outside):
        return refused(net, "activity")
    rows: list[tuple[str, ...]] = [("activity", "early start", "early finish", "late start", "late finish", "slack")]
    for one in net.times:
        slack = one.late_start - one.early_start
        rows.append(
            (one.name, *(f"{v:g}" for v in (one.early_start, one.early_finish, one.late_start, one.late_finish, slack)))
        )
    parts: list[Figure | Words] = [
        Words("length", f"{net.length.value:g}", net.length.source),
        Words("critical", " ".join(net.critical)),
        Words("times", "each activity", rows=tuple(rows)),
    ]
    if estimates and all(name in estimates for name in net.critical):
        spread = path_variance({name: e[1] for name, e in estimates.items()}, net.critical)
        if isinstance(spread, Outside):
            return refused(spread)
        parts.append(Words("variance of the critical path", f"{spread.value:.4g}", spread.source))
        if given.has("by"):
            chance = chance_by(given.num("by"), net.length.value, spread.value)
            if isinstance(chance, Outside):
                return refused(chance, "by")
            parts.append(
                Words(f"chance to be done by {given.num('by'):g}", f"{chance.value * 100:.3g} %", chance.source)
            )
    elif given.has("by"):
        return Wrong("by", "a chance needs three estimates of each critical activity", "write 2/3/5 for its duration")
    return Answer(tuple(parts))


def crew(given: Given) -> Answer | Wrong:
    """A schedule for the crew given: who does what when, idle time, what one more saves."""
    read = _activities(given)
    if isinstance(read, Wrong):
        return read
    people = _people(given.text("crew"))
    if isinstance(people, Wrong):
        return people
    activities = read[0]
    made = schedule(activities, dict(people))
    if isinstance(made, Outside):
        return refused(made, "activity")
    rows = [("start", "finish", "activity", "who")]
    for slot in made.slots:
        who = ", ".join(f"{role} {number}" for role, number in slot.people)
        rows.append((f"{slot.start:g}", f"{slot.finish:g}", slot.name, who))
    saved = one_more(activities, dict(people))
    if isinstance(saved, Outside):
        return refused(saved)
    idle = tuple(
        (f"{role} {number}", f"busy {made.busy[role, number]:g}", f"idle {time:g}")
        for (role, number), time in made.idle.items()
    )
    return Answer(
        (
            Words(
                "length",
                f"{made.length.value:g}, feasible; no schedule is shorter than {made.bound.value:g}",
                made.length.source,
            ),
            Words("schedule", made.rule, rows=tuple(rows)),
            Words("people", "busy and idle", rows=idle),
            Words("one more", "saves", rows=tuple((role, f"{value:g}") for role, value in saved.items())),
        )
    )


_ACTIVITY = Param("activity", "text", "NAME=DURATION [after=A,B] [by=fitter:2]; give it again for each.", many=True)

TIMES: tuple[Calculation, ...] = (
    Calculation("critical-path", GROUP, "Critical path and slack of a network",
                (_ACTIVITY, Param("by", "number", "A date, for the chance to be done by then.", optional=True)), path,
                "--activity A=2 --activity B=3 --activity 'C=2 after=A,B'"),
    Calculation("crew-schedule", GROUP, "A schedule for the people there are",
                (_ACTIVITY, Param("crew", "text", "The people, as fitter:2,operator:1.")), crew,
                "--activity 'A=2 by=fitter' --activity 'B=3 by=fitter' --crew fitter:1"),
)  # fmt: skip
