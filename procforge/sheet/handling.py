"""Sentences for taking apart and putting back: ease, remove, fit, tighten, take new."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from procforge.model.base import pick
from procforge.model.equipment import Fastener, Seal, Torque
from procforge.model.procedure import Ref, Step
from procforge.sheet.english import clauses, in_turn, joined, nb
from procforge.sheet.naming import Names
from procforge.sheet.phrases import amount, apart, pronoun, the_objects, use, with_tools

Said = list[str]
_LIFTING = re.compile(r"\b(?:hoist|crane|davit|tackle|lifter)\b")


def ease(step: Step, names: Names) -> Said:
    """`Ease the cover nuts by half a turn with the wrench. Leave them on.`"""
    turn = f" by {step.turns}" if step.turns else ""
    out = clauses(
        lambda them, more: f"Ease {them}{turn}{more}.", the_objects(step, names), in_turn, with_tools(step.tools, names)
    )
    return [*out, f"Leave {pronoun(step.objects, names)} on."]


def remove(step: Step, names: Names) -> Said:
    """`Remove the screws (6 × M8) with the wrench, then the guard.`"""
    parts = []
    for ref, text in zip(step.objects, names.each(step.objects), strict=True):
        bolts = names.bolts(ref.name)
        parts.append(text + (f" ({bolts})" if bolts else ""))
    return _in_turn("Remove", step.objects, parts, with_tools(step.tools, names), names)


def _in_turn(verb: str, refs: Sequence[Ref], parts: list[str], tail: str, names: Names) -> Said:
    """`Remove the screws with the wrench, then the guard.`: the tool stands with what it is for.

    That is the bolts at the head of the list, or the first thing where no bolts are; a hoist is for the part.
    """
    bolts = [isinstance(names.item(ref.name), Fastener) for ref in refs]
    if tail and len(parts) > 1 and not all(bolts):
        first = bolts.index(False) if _LIFTING.search(tail) else max(bolts.index(False) - 1, 0)
        parts[first] += tail
        tail = ""
    return clauses(lambda them, more: f"{verb} {them}{more}.", parts, in_turn, tail)


def fit(step: Step, names: Names) -> Said:
    """Parts in turn, then each fastener set hand-tight; what is used up is said last."""
    out: Said = []
    held, used = apart(step.tools, names)
    tail = with_tools(held, names)
    fasteners = [ref for ref in step.objects if isinstance(names.item(ref.name), Fastener)]
    solids = [ref for ref in step.objects if ref not in fasteners]
    out += _in_turn("Fit", solids, names.each(solids), tail, names)
    for ref in fasteners:
        bolts = names.bolts(ref.name)
        thing = names.new(ref.name) if ref.new else names.the(ref.name)
        out.append(f"Fit {thing}{f' ({bolts})' if bolts else ''} hand-tight{tail}.")
    return out + use(used, names)


def torque_of(step: Step, name: str, names: Names) -> Torque | None:
    """The torque of one fastener set: the step's, else the machine's for the variant."""
    item = names.item(name)
    found = step.torque or (pick(item.torque, names.machine.variant) if isinstance(item, Fastener) else None)
    return found if isinstance(found, Torque) else None


def _to(verb: str, to: str) -> Callable[[str, str], str]:
    return lambda it, more: f"{verb} {it}{to}{more}."


def tighten(verb: str) -> Callable[[Step, Names], Said]:
    """`Tighten` or `Retighten`: what is used up first, then each fastener set to its torque."""

    def say(step: Step, names: Names) -> Said:
        out: Said = []
        held, used = apart(step.tools, names)
        tail = with_tools(held, names)
        oil = [f"Apply {joined([names.plain(ref.name) for ref in used])}."] if used else []
        for ref in step.objects:
            item = names.item(ref.name)
            thing = names.the(ref.name)
            if ref.new:
                out.append(f"Fit {names.new(ref.name)}.")
                thing = pronoun((ref,), names)
            out += oil
            oil = []
            torque = torque_of(step, ref.name, names)
            if torque is not None:
                out += clauses(_to(verb, f" to {nb(torque.target)}"), [thing], joined, tail)
                out.append("Follow the passes below.")
            elif isinstance(item, Fastener) and item.hand_tight:
                out.append(f"{verb} {thing} hand-tight.")
            else:
                out.append(f"{verb} {thing}{amount(step)}{tail}.")
        return out

    return say


def renew(step: Step, names: Names) -> Said:
    """`Take a new inlet valve. Scrap the old one.`; a seal is fitted."""
    out: Said = []
    for ref in step.objects:
        item = names.item(ref.name)
        many = names.many(ref.name)
        # a seal is put in its place by it; what else is new goes in by a later step
        out.append(f"{'Fit' if isinstance(item, Seal) else 'Take'} {names.new(ref.name)}.")
        out.append(f"Scrap the old {'ones' if many else 'one'}.")
    return out
