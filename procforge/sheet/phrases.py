"""Parts of a sentence that many verbs share: the objects, the tools, the amount, the gauge."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.model.equipment import Gauge, Supply
from procforge.model.procedure import Ref, Step
from procforge.sheet.english import joined, nb
from procforge.sheet.naming import Names


def the_objects(step: Step, names: Names) -> list[str]:
    """The objects of a step, each with article and tag."""
    return names.each(step.objects)


def pronoun(refs: Sequence[Ref], names: Names) -> str:
    """`it` or `them`."""
    return "them" if len(refs) > 1 or any(names.many(r.name) for r in refs) else "it"


def with_tools(tools: Sequence[Ref], names: Names) -> str:
    """` with the torque wrench`, ` with nitrogen`, ` from the test supply`."""
    used: list[str] = []
    sources: list[str] = []
    for ref in tools:
        item = names.item(ref.name)
        if isinstance(item, Supply):
            sources.append(names.the(ref.name))
        elif item is not None and item.kind == "consumable":
            used.append(names.plain(ref.name))
        else:
            used.append(names.the(ref.name))
    return (f" with {joined(used)}" if used else "") + (f" from {joined(sources)}" if sources else "")


def apart(tools: Sequence[Ref], names: Names) -> tuple[tuple[Ref, ...], tuple[Ref, ...]]:
    """What a hand holds, and what is used up: `torque wrench` and `thread oil`."""
    used = tuple(ref for ref in tools if names.machine.kind(ref.name) == "consumable")
    return tuple(ref for ref in tools if ref not in used), used


def use(consumables: Sequence[Ref], names: Names) -> list[str]:
    """`Use thread oil.`"""
    return [f"Use {joined([names.plain(ref.name) for ref in consumables])}."] if consumables else []


def amount(step: Step) -> str:
    """` to 6 bar(g)`, ` at 6 bar(g)`."""
    if step.to_amount is not None:
        return f" to {nb(step.to_amount)}"
    return f" at {nb(step.at_amount)}" if step.at_amount is not None else ""


def at_gauge(step: Step, names: Names) -> str:
    """` at the proving gauge (PI-3)`: the one the step names, else the one the machine names."""
    found = _gauge(step, names)
    return f" at {names.the(found)}" if found else ""


def roots(step: Step, names: Names) -> list[str]:
    """The root valve of the gauge a step is read at, with article and tag; nothing where it has none."""
    gauge = names.item(_gauge(step, names))
    return [names.the(gauge.root)] if isinstance(gauge, Gauge) and gauge.root in names.machine.items else []


def _gauge(step: Step, names: Names) -> str:
    if step.at is not None and step.at.name in names.machine.items:
        return step.at.name
    for ref in step.objects:
        if names.machine.kind(ref.name) == "pressure-space" and (found := names.machine.gauges(ref.name)):
            return found[0]
    return ""
