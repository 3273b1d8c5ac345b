"""House rules: what each asks and sets at a micro-step, at a call, and at the end of the job.

A rule has one fact, `done`: its first event has happened, and nothing has undone or answered it since. What is never
allowed needs a fact, `allowed`, that nothing sets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from procforge.analysis.events import happens
from procforge.analysis.machine import Machine
from procforge.analysis.micro import Must
from procforge.analysis.select import Act
from procforge.analysis.states import Formula, Literal, fact, one, word_literals
from procforge.model.procedure import AnyWork, Check, Group, Hold, HouseRule, Measure, Procedure, Step
from procforge.model.tree import bodies

RULE = "house-rule-broken"
#: Forms whose second event must not happen once the first has.
BARRED = ("never-after", "every")
Event = tuple[str, str]


class House:
    """The house rules of one procedure on one variant's machine."""

    def __init__(self, procedure: Procedure, machine: Machine) -> None:
        self.machine = machine
        self.rules = [(f"house-rule-{n}", rule) for n, rule in enumerate(procedure.house_rules, 1)]
        self.facts = {f.name for f in procedure.facts}

    def asked(self, work: AnyWork, act: Act | None, first: bool) -> Iterator[Must]:
        """What a micro-step of the statement must meet; `act` its object, `first` whether it is the first."""
        for name, rule in self.rules:
            if rule.form.startswith("never"):
                if matches(rule.then, work, act):
                    yield from (Must(RULE, formula, name) for formula in self._barring(name, rule))
            elif first and matches(rule.then, work):
                yield Must(RULE, one(fact("done", name), rule.form not in BARRED), name)

    def sets(self, work: AnyWork, acts: Iterable[Act], last: bool) -> Iterator[Literal]:
        """What a micro-step of the statement does to the rules' facts, in order."""
        for name, rule in self.rules:
            done = fact("done", name)
            if isinstance(work, Step) and any(
                happens(self.machine, e, work.verb, a) for e in rule.undone_by for a in acts
            ):
                yield done, False
            if last and matches(rule.first, work):
                yield done, True
            if last and matches(rule.answer, work):
                yield done, False

    def _barring(self, name: str, rule: HouseRule) -> list[Formula]:
        """What must hold for the barred event to be allowed; nothing on a variant that lacks an item of the rule."""
        if rule.form == "never":
            return [one(fact("allowed", name))]
        if rule.form == "never-after":
            return [one(fact("done", name), False)]
        met: list[Literal] = []
        for state in rule.states:
            if state.name in self.facts:
                met.append((fact("made", state.name), not state.negated))
                continue
            literals = word_literals(self.machine, state)
            if not literals:
                return []
            met += literals
        return [tuple(((f, not value),) for f, value in dict.fromkeys(met))]

    def at_end(self) -> list[Must]:
        """What must have happened, or been answered, when the job ends."""
        found = []
        for name, rule in self.rules:
            if rule.form == "once" or (rule.form == "every" and not rule.then[0]):
                found.append(Must(RULE, one(fact("done", name), rule.form == "once"), name))
        return found

    # ---- calls -----------------------------------------------------------------------------------
    def at_call(self, callee: Procedure) -> tuple[list[Must], dict[str, bool], set[str]]:
        """What a call must meet for what is done inside; the facts it sets for sure; those it leaves either way.

        A rule that the called procedure has as well is proved there: each `once` is met, each `every` is answered.
        """
        needs: list[Must] = []
        sure: dict[str, bool] = {}
        either: set[str] = set()
        works = list(self._inside(callee, callee.body, True)) if self.rules else []
        shared = {rule.words for rule in callee.house_rules}
        for name, rule in self.rules:
            done = fact("done", name)
            if rule.form in BARRED and any(verb_matches(rule.then, work) for work, _ in works):
                needs.append(Must(RULE, one(done, False), name))
            makes = [always for work, always in works if verb_matches(rule.first, work)]
            unmakes = [always for work, always in works if self._unmakes(rule, work)]
            if rule.words in shared and rule.form == "once":
                sure[done] = True
            elif rule.words in shared and rule.form == "every" and not rule.then[0]:
                sure |= {done: False} if any(unmakes) else {}
            elif makes and not unmakes and any(makes):
                sure[done] = True
            elif unmakes and not makes and any(unmakes):
                sure[done] = False
            elif makes or unmakes:
                either.add(done)
        return needs, sure, either

    def _unmakes(self, rule: HouseRule, work: AnyWork) -> bool:
        acts = [Act(r.name) for r in getattr(work, "objects", ())]
        undone = isinstance(work, Step) and any(
            happens(self.machine, e, work.verb, a) for e in rule.undone_by for a in acts
        )
        return undone or verb_matches(rule.answer, work)

    def _inside(self, procedure: Procedure, body: tuple[AnyWork, ...], always: bool) -> Iterator[tuple[AnyWork, bool]]:
        """The statements of a called procedure, and of those it calls, with whether every way through does them."""
        for work in body:
            if not work.only_for.holds(self.machine.variant):
                continue
            yield work, always
            straight = isinstance(work, Group) and work.form != "either"
            for inner in bodies(work):
                yield from self._inside(procedure, inner, always and straight)
            if work.kind == "call" and work.file in procedure.callees:
                called = procedure.callees[work.file]
                yield from self._inside(called, called.body, always)


def verb_matches(pattern: Event, work: AnyWork) -> bool:
    """Whether a step is an event that a verb names: names of steps, checks and holds mean nothing in another file."""
    return isinstance(work, Step) and pattern[0] == work.verb and matches(pattern, work)


def matches(pattern: Event, work: AnyWork, act: Act | None = None) -> bool:
    """Whether a statement is the event, or, where its object is given, that micro-step of it.

    `X` without a place means X at any place; a fact's name means the step that makes it.
    """
    word, thing = pattern
    if not word:
        return False
    if isinstance(work, Hold):
        return word == work.name and not thing
    if not isinstance(work, (Step, Check, Measure)):
        return False
    if not thing and (word == work.as_name or word in (r.name for r in work.makes)):
        return True
    if word != (work.verb if isinstance(work, Step) else work.name):
        return False
    names = [act.name] if act is not None else [r.name for r in work.objects]
    return not thing or any(n == thing or n.split(" of ")[0] == thing for n in names)
