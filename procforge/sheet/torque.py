"""Torque data at its step: values of the passes from the target, the last pass round the joint, and its record."""

from __future__ import annotations

from fractions import Fraction

from procforge.model.equipment import Fastener, Torque
from procforge.model.procedure import Step
from procforge.quantities import Quantity
from procforge.quantities.quantity import shortest
from procforge.sheet.bolts import FEWEST, MOST, bolt_drawing, grouped, order_of, where_first
from procforge.sheet.english import ended, head_noun, lower_first, nb
from procforge.sheet.fields import entry, field_id, initials, tick
from procforge.sheet.handling import torque_of
from procforge.sheet.inline import Blank, BlankKind, Prose
from procforge.sheet.job import Job
from procforge.sheet.rows import Figure, TorquePass, TorqueRecord
from procforge.sheet.seconds import bracketed, glued

_DIGITS = 3  # a wrench is set to no more
_CROSS = frozenset({"cross", "star", "crosswise"})
_CROSSWISE = "crosswise"  # the order of a pass, in words


def torque_record(job: Job, step: Step, name: str, key: str) -> TorqueRecord | None:
    """The record of one fastener set; None where it is tightened by hand or nothing is said of a torque."""
    item = job.names.item(name)
    if not isinstance(item, Fastener) or step.verb not in ("tighten", "retighten"):
        return None
    torque = torque_of(step, name, job.names)
    look_up = step.look_up or item.look_up
    no_value = step.no_value or item.no_value
    if torque is None and not look_up and not no_value:
        return None
    labels = job.labels
    data: list[tuple[str, Prose]] = []
    blanks: list[Blank] = [
        entry(key, "wrench", BlankKind.SERIAL, labels.wrench),
        entry(key, "wrench-calibrated", BlankKind.DATE, labels.wrench_calibrated),
    ]
    if torque is None and look_up:
        data.append((labels.looked_up, f"{lower_first(look_up[0])}, in {look_up[1]}."))
        blanks.insert(0, entry(key, "value", BlankKind.READING, labels.torque_looked_up))
        blanks.insert(1, initials(key, "value", label=labels.looked_up_by))
    elif torque is None:  # nothing to set a wrench to
        data.append((labels.no_value, ended(no_value)))
        blanks = []
    passes = _passes(job, step, item, torque, key) if torque or look_up else ()
    order = order_of(item.count) if _pattern_of(step, item) in _CROSS and item.count >= FEWEST else ()
    figure = _figure(job, name, item, order, passes)
    if order:
        counted = "" if figure else f" {where_first(_noun(item), labels, item.first_bolt)}"  # the picture says it
        data.append((labels.order, f"{_noun(item)}s {grouped(order)}.{counted}"))
    if item.retighten is not None:
        data.append((labels.again, labels.retighten.format(time=nb(item.retighten))))
    return TorqueRecord(
        job.names.plain(name),
        job.names.bolts(name),
        _lubricant(item),
        _target(job, torque),
        _pattern(step, item),
        passes,
        tuple(data),
        tuple(blanks),
        figure,
    )


def _figure(
    job: Job, name: str, item: Fastener, order: tuple[int, ...], passes: tuple[TorquePass, ...]
) -> Figure | None:
    """The bolt picture where bolts are tightened crosswise and the picture is of use."""
    crosswise = [one.number for one in passes if one.order == _CROSSWISE]
    if not FEWEST <= len(order) <= MOST or not crosswise:
        return None
    labels, noun, last = job.labels, _noun(item), passes[-1].number
    few = "and" if len(crosswise) == 2 else "to"
    words = f"passes {crosswise[0]} {few} {crosswise[-1]}" if len(crosswise) > 1 else f"pass {crosswise[0]}"
    after = labels.bolt_last.format(number=last, bolt=noun) if last not in crosswise else ""
    made = bolt_drawing(order, noun, words, after, labels, item.first_bolt)
    return Figure(made.alt, labels.bolt_caption.format(joint=job.names.plain(name), passes=words), drawing=made)


def _lubricant(item: Fastener) -> str:
    words = item.lubricant.replace("-", " ")
    return {"": "", "dry": "none: threads clean and dry", "oiled": "oil on threads and nut faces"}.get(words, words)


def _target(job: Job, torque: Torque | None) -> Prose:
    if torque is None:
        return ""
    seconds = job.profile.seconds
    first = glued(seconds.words(torque.target), f" {nb(torque.tolerance)}" if torque.tolerance else "")
    if torque.low is None or torque.high is None:
        return first
    span, other = f"{nb(torque.low)} to {nb(torque.high)}", seconds.of_span(torque.low, torque.high)
    return glued(first, ": ", bracketed(span, other)) if other else glued(first, f" ({span})")


def _noun(item: Fastener) -> str:
    noun = lower_first(head_noun(item.title or item.base))
    return noun[:-1] if noun.endswith("s") else noun


def _pattern_of(step: Step, item: Fastener) -> str:
    """The pattern of the step, else the machine's; a last tightening goes round unless the step says otherwise."""
    return step.pattern or ("round" if step.verb == "retighten" else item.pattern)


def _pattern(step: Step, item: Fastener) -> str:
    pattern = _pattern_of(step, item)
    if item.count == 1 or not pattern:
        return ""
    if pattern in _CROSS:
        other = "the one opposite it" if item.count % 2 == 0 else "the free one nearest to opposite"
        return f"crosswise: after each {_noun(item)} {other}"
    return {"circular": "round the joint, one after the other", "round": "round the joint, one after the other"}.get(
        pattern, pattern.replace("-", " ")
    )


def percent_of(target: Quantity, percent: Quantity) -> Quantity:
    """A share of a torque in the target's unit, printed to three digits."""
    value: Fraction = target.value * percent.si
    return Quantity(value, target.unit, target.written if percent.si == 1 else shortest(value, _DIGITS))


def _passes(job: Job, step: Step, item: Fastener, torque: Torque | None, key: str) -> tuple[TorquePass, ...]:
    """The passes as the machine or the step gives them, and a last one round the joint (ASME PCC-1, from memory)."""
    again = step.verb == "retighten"  # at full torque, round the joint
    percents = step.passes if again else step.passes or item.passes
    pattern = step.pattern or ("" if again else item.pattern)
    order = _CROSSWISE if pattern in _CROSS else "round the joint, one after the other" if item.count != 1 else ""
    rows: list[TorquePass] = []

    def add(level: str, value: Quantity | None, order: str, *, last: bool) -> None:
        number = str(len(rows) + 1)
        unit = torque.target.unit.symbol if torque else ""
        low, high = (torque.low, torque.high) if torque and last else (None, None)
        reading = Blank(
            field_id(key, f"pass-{number}", "reading"), BlankKind.READING, f"Reading, pass {number}", unit,
            low=low.written if low else "", high=high.written if high else "", second=job.profile.seconds.of_span(low, high),
        )  # fmt: skip
        words = job.profile.seconds.words(value) if value is not None else f"{level} of the value"
        rows.append(
            TorquePass(
                number, words, level, order, tick(key, f"pass-{number}", label=f"Pass {number}"), reading,
                initials(key, f"pass-{number}", label=f"Initials, pass {number}"),
            )
        )  # fmt: skip

    for at, percent in enumerate(percents):
        value = percent_of(torque.target, percent) if torque else None
        add(nb(percent), value, order, last=at == len(percents) - 1 and item.count == 1)
    if not percents:
        add("100\u00a0%", torque.target if torque else None, order, last=again or item.count == 1)
    if item.count != 1 and not (again and not percents):
        noun = _noun(item)
        add("100\u00a0%", torque.target if torque else None, f"round the joint, until no {noun} turns", last=True)
    return tuple(rows)
