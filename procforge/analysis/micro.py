"""Micro-steps: a verb on one object, as needs and effects over facts. Expanded once for each (verb, object)."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from procforge.analysis.machine import Machine
from procforge.analysis.select import SELECTORS, WHOLE, Act
from procforge.analysis.states import NEEDS, Formula, Literal, fact, one, open_literal, word_literals
from procforge.model.equipment import Valve
from procforge.model.procedure import AnyWork, Check, Measure, Procedure
from procforge.model.tree import walk
from procforge.model.verbs import GLOBAL, ROWS, Effect, Need, Verb, row_for

#: Stands for whatever check the procedure makes of a reusable seal the machine demands no named one of.
ANY_CHECK = "any"
#: What a space lent back for a test need not be.
LENT = frozenset({"unlocked-untested", "returned-untested", "returned-with-air"})
JUDGED = ("part", "safety-device", "seal", "fastener", "guard")


@dataclass(frozen=True, slots=True)
class Must:
    """A formula that must hold, and the rule that is broken if it doesn't; `about` is the entity it is asked of."""

    rule: str
    formula: Formula
    about: str = ""


@dataclass(eq=False)
class Micro:
    """One micro-step: needs first, then effects; `passed` only if its result is accepted. `words` name it."""

    words: str
    needs: tuple[Must, ...] = ()
    effects: tuple[Literal, ...] = ()
    passed: tuple[Literal, ...] = ()
    failed: tuple[Literal, ...] = ()
    unknown: frozenset[str] = frozenset()
    either: frozenset[str] = frozenset()

    @cached_property
    def writes(self) -> frozenset[str]:
        """The facts it sets, or leaves either way or unknown."""
        return frozenset((*(f for f, _ in self.effects), *(f for f, _ in self.passed), *self.unknown, *self.either))

    @cached_property
    def mentions(self) -> frozenset[str]:
        """The facts it needs or sets."""
        needs = (f for must in self.needs for way in must.formula for f, _ in way)
        return frozenset((*needs, *(f for f, _ in self.effects), *(f for f, _ in self.passed)))

    def but(self, needs: tuple[Must, ...] = (), effects: tuple[Literal, ...] = ()) -> Micro:
        """A copy with more needs and effects."""
        return Micro(
            self.words, self.needs + needs, self.effects + effects, self.passed, self.failed, self.unknown, self.either
        )

    def settled(self) -> Micro:
        """A result that nothing reads ends the path where it fails: what goes on has passed."""
        return self._with(self.needs, self.effects + self.passed, ()) if self.passed else self

    def lent(self) -> Micro:
        """Inside `lend-back` the energy comes back for a test: the space need not be tested yet."""
        return self._with(tuple(m for m in self.needs if m.rule not in LENT), self.effects, self.passed)

    def _with(self, needs: tuple[Must, ...], effects: tuple[Literal, ...], passed: tuple[Literal, ...]) -> Micro:
        return Micro(self.words, needs, effects, passed, self.failed if passed else (), self.unknown, self.either)


@dataclass(slots=True)
class Expander:
    """Expands verbs on one variant's machine; `checks` are the judgements the procedure makes of each part."""

    machine: Machine
    checks: dict[str, tuple[str, ...]]
    demanded: dict[str, tuple[str, ...]]
    _memo: dict[tuple[str, Act, bool], Micro | None] = field(default_factory=dict)

    # ---- verbs -------------------------------------------------------------------------------
    def act(self, verb: str, act: Act, new: bool = False) -> Micro | None:
        """The micro-step of a verb on one object; None where the verb can't act on it (found by a rule)."""
        key = (verb, act, new)
        if key not in self._memo:
            self._memo[key] = self._expand(verb, act, new)
        return self._memo[key]

    def _expand(self, verb: str, act: Act, new: bool) -> Micro | None:
        kind = self.machine.kind(act.name) or ("free" if act.name not in self.machine.equipment.items else "")
        if not kind:
            return None
        if verb in ("shut-down", "start"):
            kind = "machine"
        row = row_for(verb, kind, new)
        if row is None:
            return None
        micro = self._row(row, act)
        item = self.machine.items.get(act.name)
        if isinstance(item, Valve) and verb == "return" and self.machine.home(act.name) == self.machine.away(act.name):
            # a spare's valve, which isolates in the position it has in service: going back there sets it
            moved = self.act("isolate", act)
            return Micro(micro.words, moved.needs, moved.effects, moved.passed) if moved else None
        if isinstance(item, Valve) and verb in _POSITIONS:
            return self._position(micro, act, _POSITIONS[verb])
        return micro

    def _position(self, micro: Micro, act: Act, position: str) -> Micro | None:
        """`open`, `shut` and the like set a valve away from service or return it, by where it goes."""
        row = row_for("isolate" if self.machine.away(act.name) == position else "return", self.machine.kind(act.name))
        if row is None:
            return None
        moved = self._row(row, act)
        extra = micro.needs if position in ("open", "on") else ()
        return Micro(micro.words, moved.needs + extra, moved.effects, moved.passed)

    def _row(self, row: Verb, act: Act) -> Micro:
        words = f"{row.name.removesuffix('-new')} {act.name}".strip()
        needs = [m for need in row.needs for m in self.must(need, act)]
        return Micro(
            words, tuple(dict.fromkeys(needs)), self._effects(row.effects, act), self._effects(row.passed, act)
        )

    def must(self, need: Need, act: Act) -> list[Must]:
        """What a need of the table means for this object."""
        found = []
        for name in SELECTORS[need.whom](self.machine, act):
            if name and name not in self.machine.items and need.whom != "it":
                continue
            if need.state == "fit":
                found += [Must(need.rule, one(f), name) for f in self.fits(name)]
            else:
                found += [Must(need.rule, f, name) for f in NEEDS[need.state](self.machine, name, act)]
        return found

    def fits(self, name: str) -> list[str]:
        """The facts that an item is judged fit, one for each check the machine or the procedure has of it."""
        return [f"fit {name} / {c}" for c in self.checks.get(name, ())]

    def _effects(self, effects: tuple[Effect, ...], act: Act) -> tuple[Literal, ...]:
        found: dict[str, bool] = {}
        for effect in effects:
            for name in SELECTORS[effect.whom](self.machine, act):
                for fact_, value in self._facts(effect, name):
                    found[fact_] = value
        return tuple(found.items())

    def _facts(self, effect: Effect, name: str) -> list[Literal]:
        machine, state, value = self.machine, effect.state, effect.value
        if state == "fit":
            # what the procedure checks beyond the machine's demand is only undone by a rejection
            listed = self.checks if value else self.demanded
            return [(f"fit {name} / {c}", value) for c in listed.get(name, ())]
        if state == "vents-open":
            return [(f, v == value) for f, v in (open_literal(machine, vent.valve) for vent in machine.vents(name))]
        if state == "spent-if-single":
            return [(fact("spent", name), True)] if getattr(machine.items[name], "single_use", False) else []
        if state == "all-in":
            kind = machine.kind(name)
            if kind == "fastener":
                return [(fact("off", name), not value), (fact("torqued", name), value)]
            return [(fact("seated" if kind == "seal" else "in", name), value)]
        if state == "relieved" and machine.kind(name) == "motion":
            return []
        if state == "looked" and not machine.closes(name):
            return []
        if state in ("gas-free", "air-free", "tested") and machine.kind(name) != "pressure-space":
            return []
        return [(fact(state, name if name != WHOLE else WHOLE), value)]

    # ---- other micro-steps -------------------------------------------------------------------
    def havoc(self, words: tuple[str, ...]) -> Micro:
        """A line nobody could read: everything its names could have meant is unknown after it."""
        facts: set[str] = set(GLOBAL)
        for word in words:
            facts |= {f"released {word}", f"made {word}", f"done {word}"}
            facts |= {f for name in self.checks for f in self.fits(name) if f.endswith(f" / {word}") or name == word}
            kind = self.machine.kind(word)
            for row in ROWS if kind else ():
                if kind in row.on:
                    micro = self._row(row, Act(word))
                    facts |= {f for f, _ in micro.effects + micro.passed}
        return Micro("unread line", unknown=frozenset(facts))

    def states(self, rule: str, procedure_states: tuple[object, ...]) -> tuple[Must, ...]:
        """Conditions of `starts` as needs."""
        found = []
        for state in procedure_states:
            for literal in word_literals(self.machine, state):  # type: ignore[arg-type]
                found.append(Must(rule, one(*literal), getattr(state, "name", "")))
        return tuple(found)


_POSITIONS = {"open": "open", "shut": "shut", "switch-on": "on", "switch-off": "off"}


def demanded_checks(machine: Machine) -> dict[str, tuple[str, ...]]:
    """For each item the checks the machine demands; a seal that may be reused has at least the check `any`."""
    found: dict[str, tuple[str, ...]] = {}
    for name, item in machine.items.items():
        listed = tuple(getattr(item, "judged_by", ()))
        if item.kind == "seal" and not listed and not getattr(item, "single_use", False):
            listed = (ANY_CHECK,)
        if listed:
            found[name] = listed
    return found


def all_checks(
    procedure: Procedure, machine: Machine, demanded: dict[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """For each item the demanded checks and those the procedure makes of it."""
    found = {k: list(v) for k, v in demanded.items()}
    for work in walk(procedure.body):
        if judges(work):
            for ref in work.objects:  # type: ignore[union-attr]
                if machine.kind(ref.name) in JUDGED:
                    listed = found.setdefault(ref.name, [])
                    if work.name not in listed:  # type: ignore[union-attr]
                        listed.append(work.name)  # type: ignore[union-attr]
    return {k: tuple(v) for k, v in found.items()}


def judges(work: AnyWork) -> bool:
    """Whether a statement judges parts: a check, or a reading with limits that is not taken as found."""
    return isinstance(work, Check) or (isinstance(work, Measure) and work.limit is not None and not work.as_found)
