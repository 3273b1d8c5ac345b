"""List scheduling: activities placed one after another at the earliest time at which their people are free.

The serial and the parallel scheme of Kelley (1963); forward and backward passes (double justification) of Valls,
Ballestín and Quintanilla, European Journal of Operational Research 165 (2005) 375.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from procforge.engineering.network import Order


@dataclass(frozen=True, slots=True)
class Task:
    """The problem by number: durations, people needed as (role, count), crew by role, order.

    An activity without duration takes nobody's time: it has no `needs` here.
    """

    durations: Sequence[float]
    needs: Sequence[Sequence[tuple[int, int]]]
    crew: Sequence[int]
    order: Order

    def length(self, starts: Sequence[float]) -> float:
        """When the last activity of a schedule ends."""
        return max((s + d for s, d in zip(starts, self.durations, strict=True)), default=0.0)

    def reversed(self) -> Task:
        """The same problem with time running backwards."""
        order = self.order
        return Task(
            self.durations,
            self.needs,
            self.crew,
            Order(tuple(reversed(order.sequence)), order.following, order.before),
        )


class _Profile:
    """People of each role still free over time: `times[i]` up to the next, the last without end."""

    def __init__(self, crew: Sequence[int]) -> None:
        self.times = [0.0]
        self.free = [list(crew)]

    def earliest(self, ready: float, duration: float, needs: Sequence[tuple[int, int]]) -> float:
        """First time from `ready` at which the people are free for the whole duration."""
        if not needs or not duration:
            return ready
        times, free = self.times, self.free
        start, at = ready, bisect_right(times, ready) - 1
        while at < len(times) and times[at] < start + duration:
            if any(free[at][role] < count for role, count in needs):
                start = times[at + 1]  # the last stretch has the whole crew free, so there is a next
            at += 1
        return start

    def take(self, start: float, duration: float, needs: Sequence[tuple[int, int]]) -> None:
        """Book the people from `start` on."""
        if not needs or not duration:
            return
        first, last = self._cut(start), self._cut(start + duration)
        for at in range(first, last):
            for role, count in needs:
                self.free[at][role] -= count

    def _cut(self, time: float) -> int:
        at = bisect_left(self.times, time)
        if at == len(self.times) or self.times[at] != time:
            self.times.insert(at, time)
            self.free.insert(at, list(self.free[at - 1]))
        return at


def serial(task: Task, priority: Sequence[float]) -> list[float]:
    """Start times: the ready activity of lowest `priority` next, placed as early as its people allow."""
    profile = _Profile(task.crew)
    starts = [0.0] * len(task.durations)
    waiting = [len(earlier) for earlier in task.order.before]
    ready = [(priority[i], i) for i, count in enumerate(waiting) if not count]
    ready.sort()
    while ready:
        _, index = heappop(ready)
        begin = max((starts[i] + task.durations[i] for i in task.order.before[index]), default=0.0)
        starts[index] = profile.earliest(begin, task.durations[index], task.needs[index])
        profile.take(starts[index], task.durations[index], task.needs[index])
        for later in task.order.following[index]:
            waiting[later] -= 1
            if not waiting[later]:
                heappush(ready, (priority[later], later))
    return starts


def parallel(task: Task, priority: Sequence[float]) -> list[float]:
    """Start times: at each moment all ready activities that the free people can do, lowest `priority` first."""
    free = list(task.crew)
    starts = [0.0] * len(task.durations)
    waiting = [len(earlier) for earlier in task.order.before]
    ready = sorted((i for i, count in enumerate(waiting) if not count), key=lambda i: (priority[i], i))
    running: list[tuple[float, int]] = []
    now = 0.0
    while ready or running:
        left = []
        for index in ready:
            if all(free[role] >= count for role, count in task.needs[index]):
                for role, count in task.needs[index]:
                    free[role] -= count
                starts[index] = now
                heappush(running, (now + task.durations[index], index))
            else:
                left.append(index)
        now = running[0][0]
        while running and running[0][0] <= now:
            _, index = heappop(running)
            for role, count in task.needs[index]:
                free[role] += count
            for later in task.order.following[index]:
                waiting[later] -= 1
                if not waiting[later]:
                    left.append(later)
        ready = sorted(left, key=lambda i: (priority[i], i))
    return starts


def justified(task: Task, starts: Sequence[float]) -> list[float]:
    """The schedule pushed to the right end, latest finish first, then to the left again: never longer."""
    length = task.length(starts)
    back = serial(task.reversed(), [-(s + d) for s, d in zip(starts, task.durations, strict=True)])
    pushed = [length - b - d for b, d in zip(back, task.durations, strict=True)]
    first = min(pushed, default=0.0)
    return serial(task, [p - first for p in pushed])
