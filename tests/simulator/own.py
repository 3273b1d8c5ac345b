"""The user's own facts, holds that guard steps, and house rules."""

from __future__ import annotations

from procforge.model.procedure import AnyWork, Check, Doing, Hold, HouseRule, Measure, Procedure, Step
from simulator.program import Asked, Micro
from simulator.states import Formula, condition
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
            self.house(f"house-rule-{number}", rule, work, micros)
        if isinstance(work, Doing):
            last.effects += [(fact("made", r.name), True) for r in work.makes]
            last.effects += [(fact("made", r.name), False) for r in work.undoes]

    def house(self, name: str, rule: HouseRule, work: Doing | Hold, micros: list[Micro]) -> None:
        """What a house rule asks of the micro-steps of a statement, and what they do to its fact."""
        done, first, last = fact("done", name), micros[0], micros[-1]
        refs = list(work.objects) if isinstance(work, Step) else []
        if self.matches(rule.then, work):
            if rule.form in ("before", "only-after"):
                first.needs.append(("house-rule-broken", (((done, True),),)))
            elif rule.form == "every":
                first.needs.append(("house-rule-broken", (((done, False),),)))
            else:
                barred = {
                    "never": [((((fact("allowed", name), True),)),)],
                    "never-after": [(((done, False),),)],
                    "never-while": self.barred_while(rule),
                }[rule.form]
                for number, micro in enumerate(micros):
                    thing = rule.then[1]
                    if not thing or number >= len(refs) or self.is_called(refs[number].name, thing):
                        micro.needs += [("house-rule-broken", formula) for formula in barred]
        for ref, micro in zip(refs, micros, strict=False):
            if any(self.happens(event, work.verb, ref.name) for event in rule.undone_by):
                micro.effects.append((done, False))
        if self.matches(rule.first, work):
            last.effects.append((done, True))
        if self.matches(rule.answer, work):
            last.effects.append((done, False))

    def barred_while(self, rule: HouseRule) -> list[Formula]:
        """One of the conditions not met; nothing where an item of theirs is not in the variant."""
        met: list[Pair | tuple[str, bool]] = []
        for state in rule.states:
            if state.name in {f.name for f in self.facts}:
                met.append((fact("made", state.name), not state.negated))
            elif state.name in self.world.items or state.name == self.world.procedure.equipment.name:
                met += condition(self.world, state)
            else:
                return []
        return [tuple(((about, not value),) for about, value in dict.fromkeys(met))]

    def ending(self) -> Asked:
        """What the rules ask at the end of the job."""
        found: Asked = []
        for number, rule in enumerate(self.rules, 1):
            done = fact("done", f"house-rule-{number}")
            if rule.form == "once":
                found.append(("house-rule-broken", (((done, True),),)))
            elif rule.form == "every" and rule.then == ("", ""):
                found.append(("house-rule-broken", (((done, False),),)))
        return found

    def call(self, callee: Procedure, steps: list[tuple[Step, bool]], micro: Micro) -> None:
        """What a call asks and sets for the steps inside, each with whether it is done on every way through."""
        theirs = {r.words for r in callee.house_rules}
        for number, rule in enumerate(self.rules, 1):
            done = fact("done", f"house-rule-{number}")
            if rule.form in ("never-after", "every") and any(self.by_verb(rule.then, s) for s, _ in steps):
                micro.needs.append(("house-rule-broken", (((done, False),),)))
            sets = [sure for s, sure in steps if self.by_verb(rule.first, s)]
            unsets = [
                sure
                for s, sure in steps
                if self.by_verb(rule.answer, s)
                or any(self.happens(e, s.verb, r.name) for e in rule.undone_by for r in s.objects)
            ]
            if rule.words in theirs and rule.form == "once":
                micro.effects.append((done, True))
            elif rule.words in theirs and rule.form == "every" and rule.then == ("", ""):
                micro.effects += [(done, False)] if any(unsets) else []
            elif any(sets) and not unsets:
                micro.effects.append((done, True))
            elif any(unsets) and not sets:
                micro.effects.append((done, False))
            elif sets or unsets:
                micro.either.append(done)

    def by_verb(self, pattern: Pair, step: Step) -> bool:
        """Whether a step in another file is an event: by its verb only."""
        return bool(pattern[0]) and pattern[0] == step.verb and self.matches(pattern, step)

    def matches(self, pattern: Pair, work: Doing | Hold) -> bool:
        """Whether a statement is what one side of a house rule names."""
        word, thing = pattern
        if not word:
            return False
        if isinstance(work, Doing) and not thing and word in {r.name for r in work.makes}:
            return True
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
