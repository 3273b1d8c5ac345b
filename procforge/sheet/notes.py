"""What a step's instruction needs beside it: mass, way up, look-alikes, roots of gauges, and what to do if it fails."""

from __future__ import annotations

from procforge.model.base import pick
from procforge.model.equipment import Fastener, Gauge, Seal, Solid
from procforge.model.procedure import Check, Measure, Ref, Step
from procforge.model.tree import walk
from procforge.quantities import Quantity
from procforge.sheet.english import joined, nb, upper_first
from procforge.sheet.inline import Prose, Run
from procforge.sheet.job import Job

_HANDLED = frozenset({"remove", "fit", "lift", "exchange", "renew"})
_READ = frozenset({"prove", "try-start", "gas-test", "leak-test"})


def strong(text: str) -> Prose:
    """A line that changes what is done."""
    return (Run(text, strong=True),)


def step_notes(job: Job, step: Step) -> tuple[Prose, ...]:
    """The lines the machine adds to a step."""
    out: list[Prose] = []
    spent: dict[str, None] = {}
    for ref in step.objects:
        item = job.names.item(ref.name)
        if isinstance(item, Solid | Fastener) and step.verb in _HANDLED:
            out += _mass(job, ref, item)
        if step.verb == "remove" and isinstance(item, Solid | Seal | Fastener):
            out += _looks(job, ref, item)
            spent |= dict.fromkeys(_spent(job, item))
        if step.verb == "fit":
            out += _way_up(job, step, ref)
        if step.verb in ("pressurise", "charge", "leak-test"):
            out += _root(job, step, ref)
    if spent:
        parts = [text.removeprefix("the ") for text in job.names.each([Ref.make(name=n) for n in spent])]
        out.append(job.labels.scrap.format(parts=joined(parts)))
    return tuple(dict.fromkeys([*_kind(job, step), *out, *_stock(job, step)]))


def _kind(job: Job, step: Step) -> list[Prose]:
    """The kind of part that goes in: the wrong one fits as well."""
    kind = step.part_kind.replace("-", " ")
    return [strong(job.labels.kind_is.format(kind=kind))] if kind else []


def _stock(job: Job, step: Step) -> list[Prose]:
    """The stock numbers of what is new; each with its part where there are several."""
    found: dict[str, dict[str, None]] = {}
    for ref in step.objects:
        item = job.names.item(ref.name)
        stock = pick(item.stock, job.variant) if item is not None else None
        if stock and (step.verb in ("renew", "exchange") or (ref.new and step.verb in ("fit", "tighten"))):
            found.setdefault(str(stock), {})[job.names.plain(ref.name, place=False)] = None
    if len(found) == 1:
        return [job.labels.stock_is.format(number=stock) for stock in found]
    return [
        job.labels.stock_of.format(parts=upper_first(joined(list(parts))), number=stock)
        for stock, parts in found.items()
    ]


def _mass(job: Job, ref: Ref, item: Solid | Fastener) -> list[Prose]:
    mass = pick(item.mass, job.variant)
    if not isinstance(mass, Quantity):
        return []
    what = job.labels.mass_of.format(item=job.names.the(ref.name, tag=False), mass=nb(mass))
    heavy = mass.si > job.profile.hand_limit
    what += f" {job.labels.use_aid}" if heavy else ""
    return [job.profile.seconds.spread(what, [mass], strong=heavy)]


def _looks(job: Job, ref: Ref, item: Solid | Seal | Fastener) -> list[Prose]:
    names = job.names
    others = [names.the(n, tag=False) for n in getattr(item, "looks_like", ()) if n in job.machine.items]
    if not others:
        return []
    verb, them = ("look", "them") if names.many(ref.name) else ("looks", "it")
    return [
        strong(
            f"{upper_first(names.the(ref.name, tag=False))} {verb} like {joined(others)}. Keep {them} apart and marked."
        )
    ]


def _spent(job: Job, item: Solid | Seal | Fastener) -> list[str]:
    """What is for one use only and comes out here: the thing itself, or a seal that no step of its own takes out."""
    removed = {
        r.name for w in walk(job.procedure.body) if isinstance(w, Step) and w.verb == "remove" for r in w.objects
    }
    under = [n for n in getattr(item, "sealed_by", ()) if n not in removed]
    return [n for n in (item.name, *under) if getattr(job.machine.items.get(n), "single_use", False)]


def _way_up(job: Job, step: Step, ref: Ref) -> list[Prose]:
    item = job.names.item(ref.name)
    way = step.way_up or getattr(item, "way_up", "")
    if not way:
        return []
    which = f" of {job.names.the(ref.name, tag=False)}" if len(step.objects) > 1 else ""
    return [strong(job.labels.way_up.format(which=which, way=way.rstrip(".")))]


def gauge_of(job: Job, step: Step, ref: Ref) -> str:
    """The gauge a space is read at: named by the step, else by the machine."""
    if step.at is not None and step.at.name in job.machine.items:
        return step.at.name
    if job.machine.kind(ref.name) == "pressure-space":
        return next(iter(job.machine.gauges(ref.name)), "")
    return ""


def _root(job: Job, step: Step, ref: Ref) -> list[Prose]:
    gauge = job.machine.items.get(gauge_of(job, step, ref))
    if not isinstance(gauge, Gauge) or gauge.root not in job.machine.items:
        return []
    root = job.names.the(gauge.root)
    out: list[Prose] = []
    if gauge.not_above is not None:
        words = job.labels.keep_shut.format(valve=root, pressure=nb(gauge.not_above))
        out.append(job.profile.seconds.spread(words, [gauge.not_above], "down"))
    return out


def failing(job: Job, work: Step | Check | Measure) -> tuple[Prose, ...]:
    """What to do when a result that no later decision reads is not as it must be."""
    if work.result and work.result in job.read:
        return ()
    labels = job.labels
    match work:
        case Step(verb="prove"):
            return (strong(f"{labels.not_proved} {labels.tell}"),)
        case Step(verb="try-start"):
            return (strong(f"{labels.if_moves} {labels.tell}"),)
        case Step(verb="leak-test"):
            return (strong(f"{labels.if_leaks} {labels.tell}"),)
        case Step(verb="gas-test"):
            return (strong(f"{labels.gas_outside} {labels.tell}"),)
        case Check():
            return ()
        case _ if work.limit is not None and (work.limit.low is not None or work.limit.high is not None):
            return (strong(labels.outside),)
    return ()
