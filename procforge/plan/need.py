"""How many of each thing a job takes: the most over all paths, and the number if everything is accepted.

Counted on the tree of work: one after another adds up, of two branches the most (or the accepted one) counts, a
repeat takes its rounds times the bound (or once). What is renewed in each round takes a new one each time.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Ask, Check, Group, Mark, Measure, Procedure, Repeat, Step, When

#: Verbs after which a new item is in the machine.
_RENEWS = ("renew", "exchange")


@dataclass
class Need:
    """Counts by name of item: `new` items put in, `most` and `likely`; `used` tools and consumables; `locked` devices."""

    most: Counter[str] = field(default_factory=Counter)
    likely: Counter[str] = field(default_factory=Counter)
    used: dict[str, None] = field(default_factory=dict)
    fitted: dict[str, None] = field(default_factory=dict)
    locked: dict[str, None] = field(default_factory=dict)
    handled: dict[str, None] = field(default_factory=dict)

    def also(self, other: Need) -> None:
        """Names of another need, counts left alone."""
        for mine, more in (
            (self.used, other.used), (self.fitted, other.fitted), (self.locked, other.locked), (self.handled, other.handled)
        ):  # fmt: skip
            mine.update(more)

    def then(self, other: Need) -> None:
        """One after another: counts add up."""
        self.most.update(other.most)
        self.likely.update(other.likely)
        self.also(other)


def need(procedure: Procedure, variant: Variant, unreached: frozenset[int] = frozenset()) -> Need:
    """What the job takes on one variant; `unreached` are ids of statements that no path meets."""
    return _body(procedure.body, variant, unreached)


def _body(body: tuple[AnyWork, ...], variant: Variant, unreached: frozenset[int]) -> Need:
    total = Need()
    for work in body:
        if not work.only_for.holds(variant) or id(work) in unreached:
            continue
        total.then(_one(work, variant, unreached))
        if isinstance(work, Mark) and work.form == "stop":
            break
    return total


def _one(work: AnyWork, variant: Variant, unreached: frozenset[int]) -> Need:
    def inside(body: tuple[AnyWork, ...] | None) -> Need:
        return _body(body or (), variant, unreached)

    match work:
        case Step() | Check() | Measure():
            return _doing(work)
        case Ask():
            yes, no = inside(work.yes), inside(work.no)
            return _either(yes, no, no if _stops(work.yes) else yes if _stops(work.no) else None)
        case When():
            body, other = inside(work.body), inside(work.otherwise)
            return _either(body, other, body if work.accepted else other)
        case Repeat():
            one, last = inside(work.body), inside(work.otherwise)
            total = Need()
            total.also(one)
            total.also(last)
            for name in {**one.most, **last.most}:
                total.most[name] = one.most[name] * max(1, work.times) + last.most[name]
            total.likely.update(one.likely)
            return total
        case Group(form="either"):
            ways = [inside(lane) for lane in work.lanes]
            if not ways:
                return Need()
            total = ways[0]
            for way in ways[1:]:
                total = _either(total, way, total)
            return total
        case Group():
            total = Need()
            for lane in work.lanes:
                total.then(inside(lane))
            return total
    return Need()


def _stops(body: tuple[AnyWork, ...]) -> bool:
    return any(isinstance(work, Mark) and work.form == "stop" for work in body)


def _either(a: Need, b: Need, likely: Need | None) -> Need:
    """One of two ways: the most of both; the likely one if it is known, else what both take at most."""
    total = Need(a.most | b.most, Counter(likely.likely) if likely is not None else a.likely | b.likely)
    total.also(a)
    total.also(b)
    return total


def _doing(work: Step | Check | Measure) -> Need:
    found = Need(used={ref.name: None for ref in work.tools})
    at = getattr(work, "at", None)
    if at is not None:
        found.used[at.name] = None
    if not isinstance(work, Step):
        return found
    for ref in work.objects:
        if work.verb in _RENEWS or (ref.new and work.verb in ("fit", "tighten")):
            found.most[ref.name] += 1
            found.likely[ref.name] += 1
        if work.verb in ("fit", "connect"):
            found.fitted[ref.name] = None
        if work.verb == "lock":
            found.locked[ref.name] = None
        if work.verb in ("remove", "fit", "lift", "renew", "exchange"):
            found.handled[ref.name] = None
    return found
