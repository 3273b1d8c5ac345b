"""A limit that its gauge cannot show.

The limit of a reading lies above the range of the gauge or measuring tool it is read at, is of another kind (an
absolute pressure at a gauge that shows gauge pressure, a pressure at a feeler gauge), or, for a proof, lies above what
the gauge may meet (`not above`). A reading with several tools is judged by kind only if none of them fits.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.machine import Machine
from procforge.findings import Finding
from procforge.model.equipment import Gauge
from procforge.model.procedure import Measure, Step
from procforge.quantities import Quantity, comparable, differs_in, kind_words
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.common import applies
from procforge.rules.wording import title

#: Steps whose limit is a reading at their gauge; a gas test and a try have none.
READ = ("prove", "pressurise", "charge", "leak-test", "let-down")


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if not isinstance(work, Step | Measure) or (isinstance(work, Step) and work.verb not in READ):
            continue
        told = ""
        for machine in case.machines:
            if not told and work.limit is not None and applies(case, work, machine.variant):
                told = _told(case, work, machine)
        if told and work.limit is not None:
            yield RULE.finding(
                work.limit.where if work.limit.where.line else work.where, told, label="read to this limit"
            )


def _told(case: Case, work: Step | Measure, machine: Machine) -> str:
    """What is wrong in a variant, empty if nothing is."""
    gauges = _gauges(work, machine)
    ends = [q for q in (work.limit.low, work.limit.high) if q is not None] if work.limit else []
    faults = [_fault(case, work, g, end) for g in gauges for end in ends[-1:]]
    return faults[0] if faults and all(faults) else ""


def _fault(case: Case, work: Step | Measure, gauge: Gauge, end: Quantity) -> str:
    high = gauge.high
    name = title(case.equipment, gauge.name)
    if high is None or (end.kind != high.kind and end.kind == differs_in(high.kind)):
        return ""
    if not comparable(end, high):
        if isinstance(work, Step) and work.verb == "prove" and not end.kind.startswith("pressure"):
            return ""  # told by wrong-quantity
        return f"{end} is {kind_words(end.kind)}, and {name} shows {kind_words(high.kind)}"
    if end > high:
        return f"{end} is beyond the range of {name}, which ends at {high}"
    over = gauge.not_above
    if isinstance(work, Step) and work.verb == "prove" and over is not None and comparable(end, over) and end > over:
        return f"{end} is more than {name} may meet, {over}"
    return ""


def _gauges(work: Step | Measure, machine: Machine) -> list[Gauge]:
    """What the reading is taken at: the gauge named, for a proof else the only one of the space; else tools with a range."""
    if isinstance(work, Measure):
        tools = [machine.items.get(t.name) for t in work.tools]
        ranged = [t for t in tools if isinstance(t, Gauge) and t.high is not None]
        return [t for t in ranged if t.kind == "gauge"] or ranged
    names = [work.at.name] if work.at is not None else []
    if not names and work.verb == "prove":
        spaces = [r.name for r in work.objects if machine.kind(r.name) == "pressure-space"]
        names = list(dict.fromkeys(g for s in spaces for g in machine.gauges(s)))
    gauge = machine.gauge(names[0]) if len(names) == 1 else None
    return [gauge] if gauge else []


RULE = static_rule(
    __doc__,
    "limit-beyond-gauge",
    ENERGY,
    "common practice",
    find,
    why="the reading cannot be taken: the pointer stands at its stop, or shows something else",
    mend="correct the limit and its unit, or read it at an instrument that shows it",
)
