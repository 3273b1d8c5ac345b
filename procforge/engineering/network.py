"""Activities and their order: earliest and latest times, slack, the critical path, and PERT's spread of durations.

Durations in s (any one unit will do). Critical path method: Kelley and Walker (1959), as in every text on project
planning; PERT three-point estimate: Malcolm et al., Operations Research 7 (1959) 646.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import erf, sqrt

from procforge.engineering.base import Input, Outside, Result, number

CPM_SOURCE = "critical path method (Kelley and Walker 1959)"
PERT_SOURCE = "PERT three-point estimate (Malcolm et al., Operations Research 7 (1959) 646)"
_PERT_LIMITS = ("activities independent; only the critical path counts, so the true spread and the mean are larger",)
_SAME = 1e-9  # slack this small beside the length is none


@dataclass(frozen=True, slots=True)
class Activity:
    """A piece of work: `duration`, the people it `needs` by role for all of that time, what it comes `after`."""

    name: str
    duration: float
    needs: tuple[tuple[str, int], ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Times:
    """One activity's earliest and latest start and finish; `slack` is what it may slip without moving the end."""

    name: str
    early_start: float
    early_finish: float
    late_start: float
    late_finish: float

    @property
    def slack(self) -> float:
        """Latest less earliest start."""
        return self.late_start - self.early_start


@dataclass(frozen=True, slots=True)
class Network:
    """`times` in the order given, the `critical` activities among them, and the `length` of the critical path."""

    times: tuple[Times, ...]
    critical: tuple[str, ...]
    length: Result


@dataclass(frozen=True, slots=True)
class Order:
    """The same activities by number: `sequence` has each after its predecessors; direct relations by number."""

    sequence: tuple[int, ...]
    before: tuple[tuple[int, ...], ...]
    following: tuple[tuple[int, ...], ...]


def ordered(activities: Sequence[Activity]) -> Order | Outside:
    """The activities in an order that can be worked; Outside for a name used twice, an unknown one, or a circle."""
    numbers: dict[str, int] = {}
    for index, activity in enumerate(activities):
        fault = number(f"the duration of {activity.name}", activity.duration, least=0)
        if fault:
            return fault
        if activity.name in numbers:
            return Outside(f"two activities are called {activity.name}", "give each its own name")
        numbers[activity.name] = index
    before: list[tuple[int, ...]] = []
    for activity in activities:
        unknown = [name for name in activity.after if name not in numbers]
        if unknown:
            return Outside(f"{activity.name} comes after {unknown[0]}, which is no activity")
        before.append(tuple(dict.fromkeys(numbers[name] for name in activity.after)))
    following: list[list[int]] = [[] for _ in activities]
    for index, earlier in enumerate(before):
        for other in earlier:
            following[other].append(index)
    open_ = [len(earlier) for earlier in before]
    sequence = [index for index, count in enumerate(open_) if not count]
    for index in sequence:  # grows while it is read
        for later in following[index]:
            open_[later] -= 1
            if not open_[later]:
                sequence.append(later)
    if len(sequence) < len(activities):
        circle = " → ".join(activities[i].name for i in _circle(before, {i for i, n in enumerate(open_) if n}))
        return Outside(f"the activities wait for each other in a circle: {circle}", "take one of these relations out")
    return Order(tuple(sequence), tuple(before), tuple(tuple(later) for later in following))


def _circle(before: Sequence[tuple[int, ...]], left: set[int]) -> list[int]:
    """A circle among the activities left over, each before the next: every one of them has a predecessor there."""
    walked = [min(left)]
    while True:
        earlier = next(i for i in before[walked[-1]] if i in left)
        if earlier in walked:
            return [earlier, *reversed(walked[walked.index(earlier) :])]
        walked.append(earlier)


def earliest(durations: Sequence[float], order: Order) -> list[float]:
    """Earliest start of each activity by number."""
    starts = [0.0] * len(durations)
    for index in order.sequence:
        starts[index] = max((starts[i] + durations[i] for i in order.before[index]), default=0.0)
    return starts


def tails(durations: Sequence[float], order: Order) -> list[float]:
    """The longest chain of work that must follow each activity, by number."""
    tail = [0.0] * len(durations)
    for index in reversed(order.sequence):
        tail[index] = max((durations[i] + tail[i] for i in order.following[index]), default=0.0)
    return tail


def critical_path(activities: Sequence[Activity]) -> Network | Outside:
    """Forward and backward pass over the activities, people not counted."""
    order = ordered(activities)
    if isinstance(order, Outside):
        return order
    if not activities:
        return Outside("there are no activities")
    durations = [activity.duration for activity in activities]
    starts, tail = earliest(durations, order), tails(durations, order)
    length = max(s + d for s, d in zip(starts, durations, strict=True))
    times = tuple(
        Times(a.name, s, s + a.duration, length - t - a.duration, length - t)
        for a, s, t in zip(activities, starts, tail, strict=True)
    )
    return Network(
        times,
        tuple(times[i].name for i in order.sequence if times[i].slack <= _SAME * max(1.0, length)),
        Result(
            length,
            "s",
            "longest chain of durations",
            tuple(Input(f"duration of {a.name}", a.duration, "s") for a in activities),
            CPM_SOURCE,
            ("people not counted: with a crew given it is a lower bound", "durations as stated"),
        ),
    )


def three_point(optimistic: float, likely: float, pessimistic: float) -> tuple[Result, Result] | Outside:
    """Mean and variance of a duration from three estimates in s: (a + 4 m + b) / 6 and ((b − a) / 6)²."""
    fault = (
        number("the optimistic duration", optimistic, least=0, unit="s")
        or number("the likely duration", likely, least=optimistic, unit="s")
        or number("the pessimistic duration", pessimistic, least=likely, unit="s")
    )
    if fault:
        return fault
    inputs = (
        Input("optimistic", optimistic, "s"),
        Input("likely", likely, "s"),
        Input("pessimistic", pessimistic, "s"),
    )
    mean, variance = (optimistic + 4 * likely + pessimistic) / 6, ((pessimistic - optimistic) / 6) ** 2
    return (
        Result(mean, "s", "(a + 4 m + b) / 6", inputs, PERT_SOURCE, _PERT_LIMITS),
        Result(variance, "s²", "((b − a) / 6)²", inputs, PERT_SOURCE, _PERT_LIMITS),
    )


def path_variance(variances: Mapping[str, float], path: Iterable[str]) -> Result | Outside:
    """Variance in s² of the length of a path: the sum of its activities' variances."""
    inputs: list[Input] = []
    for name in path:
        if name not in variances:
            return Outside(f"no variance is given for {name}")
        fault = number(f"the variance of {name}", variances[name], least=0, unit="s²")
        if fault:
            return fault
        inputs.append(Input(f"variance of {name}", variances[name], "s²"))
    return Result(sum(i.value for i in inputs), "s²", "sum along the path", tuple(inputs), PERT_SOURCE, _PERT_LIMITS)


def chance_by(deadline: float, mean: float, variance: float) -> Result | Outside:
    """Chance that a path of that mean and variance is done by `deadline`, normal distribution."""
    fault = (
        number("the deadline", deadline, least=0, unit="s")
        or number("the mean", mean, least=0, unit="s")
        or number("the variance", variance, above=0, unit="s²")
    )
    if fault:
        return fault
    inputs = (Input("deadline", deadline, "s"), Input("mean", mean, "s"), Input("variance", variance, "s²"))
    value = (1 + erf((deadline - mean) / sqrt(2 * variance))) / 2
    return Result(value, "", "Φ((t − mean) / √variance)", inputs, PERT_SOURCE, (*_PERT_LIMITS, "a sum of many parts"))
