"""The micro-steps of a statement: its verb on each object, with holds, house rules and facts of the user's own."""

from __future__ import annotations

from dataclasses import dataclass, field

from procforge.analysis.events import happens
from procforge.analysis.house import House
from procforge.analysis.machine import Machine
from procforge.analysis.micro import ANY_CHECK, Expander, Micro, Must, all_checks, demanded_checks, judges
from procforge.analysis.select import Act
from procforge.analysis.states import NEEDS, Literal, fact, one
from procforge.model.procedure import AnyWork, Check, Hold, Measure, Procedure, Repeat, Step, When
from procforge.model.tree import bodies, walk


@dataclass
class Common:
    """What variants have in common: verbs expanded for machines that are alike, steps for the same holds too."""

    expanders: dict[tuple[object, ...], Expander] = field(default_factory=dict)
    steps: dict[tuple[object, ...], dict[int, list[Micro]]] = field(default_factory=dict)
    held: dict[int, bool] = field(default_factory=dict)
    read: dict[int, frozenset[str]] = field(default_factory=dict)

    def has_holds(self, procedure: Procedure) -> bool:
        """Whether the procedure has a hold on any variant."""
        if id(procedure) not in self.held:
            self.held[id(procedure)] = any(isinstance(w, Hold) for w in walk(procedure.body))
        return self.held[id(procedure)]

    def read_later(self, procedure: Procedure) -> frozenset[str]:
        """The results that something reads."""
        if id(procedure) not in self.read:
            works = walk(procedure.body)
            self.read[id(procedure)] = frozenset(w.check for w in works if isinstance(w, (When, Repeat)))
        return self.read[id(procedure)]


class Doings:
    """Makes micro-steps for one procedure on one variant's machine."""

    def __init__(self, procedure: Procedure, machine: Machine, common: Common | None = None) -> None:
        self.procedure = procedure
        self.machine = machine
        common = common or Common()
        alike = (id(procedure), machine.signature)
        if alike not in common.expanders:
            demanded = demanded_checks(machine)
            common.expanders[alike] = Expander(machine, all_checks(procedure, machine, demanded), demanded)
        self.expander = common.expanders[alike]
        self.house = House(procedure, machine)
        self._befores = self._hold_befores() if common.has_holds(procedure) else []
        self._steps = common.steps.setdefault((*alike, *self._befores), {})

    def _hold_befores(self) -> list[tuple[str, frozenset[str], str]]:
        """What the holds of this variant stand before: verb, objects, hold. A skipped hold guards nothing."""
        found = []
        todo = list(self.procedure.body)
        while todo:
            work = todo.pop()
            if not work.only_for.holds(self.machine.variant):
                continue
            if isinstance(work, Hold):
                found += [(verb, frozenset(r.name for r in refs), work.name) for verb, refs, _ in work.before]
            todo += [inner for body in bodies(work) for inner in body]
        return found

    def micros(self, work: AnyWork) -> list[Micro]:
        """The micro-steps of a step, check or measurement, one for each object."""
        if isinstance(work, Step):
            return self.step_micros(work)
        assert isinstance(work, (Check, Measure))
        accepted: list[Literal] = []
        needs: list[Must] = []
        for ref in work.objects:
            if ref.name not in self.machine.items:
                continue
            if judges(work):
                for check in self.expander.checks.get(ref.name, ()):
                    if check in (work.name, ANY_CHECK):
                        accepted.append((f"fit {ref.name} / {check}", True))
        micro = Micro(
            f"{work.kind} {work.name}", tuple(needs), (), tuple(accepted), tuple((f, False) for f, _ in accepted)
        )
        return [self._with_user(micro, work, work.name, (), True, True)]

    def step_micros(self, step: Step) -> list[Micro]:
        """The micro-steps of a step, one for each object."""
        if id(step) not in self._steps:
            self._steps[id(step)] = self._step_micros(step)
        return self._steps[id(step)]

    def _step_micros(self, step: Step) -> list[Micro]:
        supplies = tuple(t.name for t in step.tools if self.machine.kind(t.name) == "supply")
        gauge = step.at.name if step.at and self.machine.kind(step.at.name) == "gauge" else ""
        if step.verb in ("prove", "gas-test") and not gauge and step.objects:
            listed = [
                self.machine.gauges(o.name) for o in step.objects if self.machine.kind(o.name) == "pressure-space"
            ]
            gauge = listed[0][0] if listed and len(listed[0]) == 1 else ""
        made: list[Micro] = []
        objects = step.objects
        for index, ref in enumerate(objects):
            act = Act(ref.name, gauge, supplies)
            micro = self.expander.act(step.verb, act, ref.new) or Micro(f"{step.verb} {ref.name}")
            made.append(self._with_user(micro, step, step.verb, (act,), index == 0, index == len(objects) - 1))
        if not objects:
            made.append(self._with_user(Micro(step.text or step.verb), step, step.verb, (), True, True))
        return made

    def _with_user(
        self, micro: Micro, work: Step | Check | Measure, verb: str, acts: tuple[Act, ...], first: bool, last: bool
    ) -> Micro:
        """Facts of the user's own, house rules and holds that name this step."""
        procedure = self.procedure
        if not (work.needs or work.makes or work.undoes or procedure.facts or procedure.house_rules or self._befores):
            return micro
        needs: list[Must] = []
        effects: list[Literal] = []
        # Holds and house rules name a step by any of its objects, whichever micro-step is the first or the last.
        names = frozenset(r.name for r in getattr(work, "objects", ()))
        if first:
            needs += [Must("fact-not-established", one(fact("made", r.name)), r.name) for r in work.needs]
        for hold_verb, targets, hold in self._befores:
            if hold_verb == verb and names & targets:
                needs.append(Must("hold-avoided", one(fact("released", hold)), hold))
        for entry in procedure.facts:
            if any(happens(self.machine, e, verb, a) for e in entry.undone_by for a in acts):
                effects.append((fact("made", entry.name), False))
        needs += self.house.asked(work, next(iter(acts), None), first)
        effects += self.house.sets(work, acts, last)
        if last:
            effects += [(fact("made", r.name), True) for r in work.makes]
            effects += [(fact("made", r.name), False) for r in work.undoes]
        return micro.but(tuple(needs), tuple(effects)) if needs or effects else micro

    def hold(self, hold: Hold) -> Micro:
        """The micro-step of a hold, witness or review."""
        needs: list[Must] = []
        effects: list[Literal] = [(fact("released", hold.name), True)]
        effects += self.house.sets(hold, (), True)
        for ref in hold.sees:
            kind = self.machine.kind(ref.name)
            if kind in ("pressure-space", "motion", "stored-energy"):
                needs.append(Must("hold-before-proof", one(fact("proved", ref.name)), ref.name))
                effects.append((fact("witnessed", ref.name), True))
            elif kind:
                needs += [
                    Must("hidden-before-hold", f, ref.name)
                    for f in NEEDS["bare"](self.machine, ref.name, Act(ref.name))
                ]
        needs += self.house.asked(hold, None, True)
        return Micro(f"{hold.point} {hold.name}", tuple(needs), tuple(effects))
