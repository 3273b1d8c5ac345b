"""The schedule as a picture: a lane for each person, a bar for each piece of work, on one clock."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from procforge.plan.crew import Plan
from procforge.sheet.drawing import MM_PT, Drawing, Line, Rect, Shape, Side, Text, Tone, middle
from procforge.sheet.lettering import width

_LEFT, _TOP, _LANE, _BAR = 34.0, 8.0, 9.0, 6.0  # mm
_PT = 7.0
_STEPS = (1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480, 1440)  # minutes between marks of the clock


def clock(plan: Plan, numbers: Mapping[str, str], across: float = 250.0) -> Drawing:
    """The picture, `across` mm wide. `numbers` gives what stands in the bar of a job by the job's name.

    Bars on the critical path are dark. A number that does not fit its bar is left out: the table beside it has all.
    """
    people = list(plan.schedule.busy)
    waits = [slot for slot in plan.schedule.slots if not slot.people and slot.finish > slot.start]
    lanes = [f"{role} {number}" for role, number in people] + (["wait"] if waits else [])
    length = max(plan.schedule.length.value, 60.0)
    room = across - _LEFT - 4.0
    bottom = _TOP + _LANE * len(lanes)
    items: list[Shape] = []
    step = next((m for m in _STEPS if length / 60 / m <= 16), _STEPS[-1] * ceil(length / 60 / _STEPS[-1] / 16))
    for minute in range(0, int(length / 60) + 1, step):
        x = _LEFT + room * minute * 60 / length
        items.append(Line(x, _TOP - 1.5, x, bottom, 0.15, Tone.LIGHT))
        items.append(Text(x, _TOP - 2.5, f"{minute // 60}:{minute % 60:02d}", _PT, side=Side.MIDDLE))
    for at, lane in enumerate(lanes):
        y = _TOP + _LANE * at
        items.append(Line(0, y + _LANE, across - 4.0, y + _LANE, 0.15, Tone.LIGHT))
        items.append(Text(0, y + _LANE / 2 + middle(_PT), lane, _PT))
    for slot in plan.schedule.slots:
        if slot.finish <= slot.start:
            continue
        x, wide = _LEFT + room * slot.start / length, room * (slot.finish - slot.start) / length
        critical = slot.name in plan.network.critical
        rows = [people.index(who) for who in slot.people] or [len(people)]
        for row in rows:
            y = _TOP + _LANE * row + (_LANE - _BAR) / 2
            items.append(Rect(x, y, wide, _BAR, Tone.DARK if critical else Tone.PALE, 0.2))
            label = numbers.get(slot.name, "")
            if label and width(label, _PT) * MM_PT + 0.6 <= wide:
                tone = Tone.WHITE if critical else Tone.INK
                items.append(Text(x + wide / 2, y + _BAR / 2 + middle(_PT), label, _PT, side=Side.MIDDLE, tone=tone))
    who = "; ".join(f"{role} {number}" for role, number in people)
    alt = f"A schedule of {length / 60:.0f} min for {who}; the table below it says the same."
    return Drawing(across, bottom + 2.0, tuple(items), alt)
