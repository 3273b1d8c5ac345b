"""The user's own facts, holds that guard steps, and house rules."""

from __future__ import annotations

from procforge.model.procedure import AnyWork, Check, Doing, Hold, Measure, Step
from simulator.program import Micro
from simulator.verbs import EVENTS
from simulator.world import World, fact

Pair = tuple[str, str]


class Own:
    """Adds to the micro-steps of a statement what holds, facts and house rules ask and set."""

    def __init__(self, world: World, works: list[AnyWork]) -> None:
        self.world = world
        self.holds = [w for w in works if isinstance(w, Hold)]
        self.facts = world.procedure.facts
        self.rules = world.procedure.house_rules

    def add(self, work: Doing | Hold, micros: list[Micro]) -> None:
        """Needs of the first, effects of the last, guards and events of each micro-step."""
        first, last = micros[0], micros[-1]
        if isinstance(work, Doing):
            first.needs += [("fact-not-established", (((fact("made", r.name), True),),)) for r in work.needs]
        if isinstance(work, Step):
            for hold in self.holds:
                if any(
                    verb == work.verb and {r.name for r in refs} & {r.name for r in work.objects}
                    for verb, refs, _ in hold.before
                ):
                    for micro in micros:
                        micro.needs.append(("hold-avoided", (((fact("released", hold.name), True),),)))
            for ref, micro in zip(work.objects, micros, strict=False):
                for own in self.facts:
                    if any(self.happens(event, work.verb, ref.name) for event in own.undone_by):
                        micro.effects.append((fact("made", own.name), False))
        for number, rule in enumerate(self.rules, 1):
            done = fact("done", f"house-rule-{number}")
            if self.matches(rule.then, work):
                first.needs.append(("house-rule-broken", (((done, True),),)))
            if isinstance(work, Step):
                for ref, micro in zip(work.objects, micros, strict=False):
                    if any(self.happens(event, work.verb, ref.name) for event in rule.undone_by):
                        micro.effects.append((done, False))
            if self.matches(rule.first, work):
                last.effects.append((done, True))
        if isinstance(work, Doing):
            last.effects += [(fact("made", r.name), True) for r in work.makes]
            last.effects += [(fact("made", r.name), False) for r in work.undoes]

    def matches(self, pattern: Pair, work: Doing | Hold) -> bool:
        """Whether a statement is what one side of a house rule names."""
        word, thing = pattern
        if isinstance(work, (Check, Measure)):
            return word in (work.name, work.as_name) and not thing
        if isinstance(work, Hold):
            return word == work.name and not thing
        if not isinstance(work, Step):
            return False
        if not thing:
            return word in (work.verb, work.as_name)
        return word == work.verb and any(self.is_called(r.name, thing) for r in work.objects)

    def happens(self, event: Pair, verb: str, name: str) -> bool:
        """Whether a micro-step is the event: `X removed`; opened and closed happen to the space as well."""
        thing, what = event
        if verb not in EVENTS.get(what, ()):
            return False
        if self.is_called(name, thing):
            return True
        return what in ("opened", "closed") and name in self.world.items and thing in self.world.bounds(name)

    def is_called(self, name: str, thing: str) -> bool:
        """`X` without a place means X at any place."""
        item = self.world.items.get(name)
        return thing == name or (item is not None and item.base == thing)
