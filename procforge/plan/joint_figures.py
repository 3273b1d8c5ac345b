"""The bolted joints in numbers: preload over the friction of the lubricant, share of the proof load, the wrench."""

from __future__ import annotations

from procforge.analysis.machine import Machine
from procforge.engineering.base import Outside
from procforge.engineering.friction import Friction, friction_of
from procforge.engineering.joint import judge_joint
from procforge.engineering.strength import Strength, read_strength
from procforge.engineering.threads import Thread, read_thread
from procforge.engineering.wrench import Wrench, accuracy_ratio, usable_low, wrench_error
from procforge.model.base import pick
from procforge.model.equipment import Fastener, Gauge, Torque
from procforge.model.procedure import Procedure, Step
from procforge.model.tree import walk
from procforge.plan.figures import PlanFigure, made
from procforge.plan.kit import Namer


def joint_figures(procedure: Procedure, machine: Machine, namer: Namer) -> tuple[PlanFigure, ...]:
    """The figures of each fastener set that is tightened to a torque; sets alike in all are told once."""
    rows: dict[tuple[object, ...], list[PlanFigure]] = {}
    for step in walk(procedure.body):
        if (
            not isinstance(step, Step)
            or step.verb not in ("tighten", "retighten")
            or not step.only_for.holds(machine.variant)
        ):
            continue
        for ref in step.objects:
            item = machine.items.get(ref.name)
            torque = step.torque or (pick(item.torque, machine.variant) if isinstance(item, Fastener) else None)
            if isinstance(item, Fastener) and isinstance(torque, Torque):
                tools = tuple(tool.name for tool in step.tools)
                key = (item.base or item.name, torque.target, tools)
                if key not in rows:
                    title = f"{namer(item.name)}, {torque.target} {torque.tolerance}".rstrip()
                    rows[key] = [*_bolt(item, torque, title), *_wrench(machine, torque, tools, title, namer)]
    return tuple(row for found in rows.values() for row in found)


def _bolt(item: Fastener, torque: Torque, title: str) -> list[PlanFigure]:
    thread = read_thread(item.thread) if item.thread else Outside("no thread is stated")
    strength = (
        read_strength(item.strength, thread)
        if item.strength and isinstance(thread, Thread)
        else Outside("no class is stated")
    )
    friction = friction_of(item.lubricant) if item.lubricant else Outside("no lubricant is stated")
    for found in (thread, strength, friction):
        if isinstance(found, Outside):
            return [made(title, "preload", found)]
    assert isinstance(thread, Thread)
    assert isinstance(strength, Strength)
    assert isinstance(friction, Friction)
    target = float(torque.target.si)
    over = float(torque.high.si) / target - 1 if torque.high is not None and target > 0 else 0.0
    joint = judge_joint(target, thread, strength, friction, over)
    if isinstance(joint, Outside):
        return [made(title, "preload", joint)]
    return [
        made(title, f"preload at the least friction {friction.low:g}", joint.preload.most),
        made(title, f"preload at the most friction {friction.high:g}", joint.preload.least),
        made(title, "share of the proof load at the least friction", joint.share_most, "%"),
        made(title, "share of the proof load at the most friction", joint.share_least, "%"),
        *(PlanFigure(title, "note", fault.message, fault.hint) for fault in joint.faults),
    ]


def _wrench(machine: Machine, torque: Torque, tools: tuple[str, ...], title: str, namer: Namer) -> list[PlanFigure]:
    rows = []
    for name in tools:
        tool = machine.items.get(name)
        if not isinstance(tool, Gauge) or tool.low is None or tool.high is None or tool.high.kind != "torque":
            continue
        own = float(tool.accuracy) / 100 if tool.accuracy else None
        wrench = Wrench(float(tool.low.si), float(tool.high.si), error=own)
        rows.append(made(title, f"{namer(name)}: use it from", usable_low(wrench), "N·m"))
        error = wrench_error(wrench)
        if torque.high is not None and not isinstance(error, Outside) and torque.target.si > 0:
            share = float((torque.high.si - torque.target.si) / torque.target.si)
            rows.append(
                made(
                    title,
                    f"{namer(name)}: tolerance over its error (4 is wanted)",
                    accuracy_ratio(share, error.value),
                    digits=2,
                )
            )
    return rows
