"""A torque without a wrench.

A joint with a torque is tightened and the step names no tool with a torque range.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Gauge
from procforge.model.procedure import Step
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import torques


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if isinstance(work, Step) and work.verb in ("tighten", "retighten") and any(True for _ in torques(case, work)):
            tools = [case.equipment.items.get(t.name) for t in work.tools]
            ends = [end for t in tools if isinstance(t, Gauge) for end in (t.low, t.high) if end is not None]
            partial = {w.line for w in case.procedure.partial}
            if any(t is not None and t.where.line in partial for t in tools):
                continue  # its range may stand in the line that could not be read
            if not any(end.kind == "torque" for end in ends):
                yield RULE.finding(work.where, "a torque is to be reached, and no torque tool is named")


RULE = static_rule(
    __doc__,
    "wrench-not-named",
    TORQUE,
    "common practice",
    find,
    why="a torque needs a tool that shows it, and the record needs its number",
    mend="name it: tighten … with torque-wrench",
)
