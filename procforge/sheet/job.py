"""What every part of the builder works with: one procedure on one variant, and what the rows have told so far."""

from __future__ import annotations

from dataclasses import dataclass, field

from procforge.analysis.machine import Machine
from procforge.analysis.proof import Proof
from procforge.model.base import Variant
from procforge.model.equipment import Unit
from procforge.model.procedure import AnyWork, Check, Hazard, Measure, Procedure, Ref, Repeat, Step, When
from procforge.model.tree import walk
from procforge.sheet.english import lower_first
from procforge.sheet.inline import Blank
from procforge.sheet.labels import Labels
from procforge.sheet.naming import Names
from procforge.sheet.profile import RANK, Profile
from procforge.sheet.rows import HazardPanel


@dataclass(frozen=True, slots=True)
class Result:
    """A result as printed: where it stands, what it is about, and the blank that holds it."""

    number: str
    words: str
    verdict: Blank
    judged: bool


@dataclass(frozen=True, slots=True)
class Done:
    """A statement as printed: its number, and whether it stands in a branch that a rejection opens."""

    work: AnyWork
    number: str
    key: str
    because: str = ""


@dataclass(slots=True)
class Job:
    """Grows while the rows are made: numbers, results, hazards met, what was done to what."""

    procedure: Procedure
    variant: Variant
    unit: Unit | None
    labels: Labels
    profile: Profile
    machine: Machine
    names: Names
    proof: Proof | None = None
    read: frozenset[str] = frozenset()
    results: dict[str, Result] = field(default_factory=dict)
    met: dict[str, list[str]] = field(default_factory=dict)
    done: list[Done] = field(default_factory=list)
    last_initials: str = ""
    unlocked: bool = False
    shut_down: bool = False
    unreached: frozenset[int] = frozenset()
    review: bool = False

    @classmethod
    def of(
        cls,
        procedure: Procedure,
        variant: Variant,
        unit: Unit | None,
        labels: Labels,
        profile: Profile,
        proof: Proof | None,
    ) -> Job:
        """The job before its first row."""
        machine = Machine(procedure.equipment, variant)
        read = frozenset(w.check for w in walk(procedure.body) if isinstance(w, When | Repeat))
        unreached = frozenset(id(w) for w in proof.unreached) if proof else frozenset()
        return cls(
            procedure, variant, unit, labels, profile, machine, Names(machine, unit), proof, read, unreached=unreached
        )

    def applies(self, work: AnyWork) -> bool:
        """Whether a statement is printed on this variant's sheet."""
        return work.only_for.holds(self.variant) and id(work) not in self.unreached

    def steps(self) -> list[tuple[Step, Done]]:
        """The printed steps, each once: a later round of a repeat is the same step."""
        seen: set[int] = set()
        found = []
        for one in self.done:
            if isinstance(one.work, Step) and id(one.work) not in seen:
                seen.add(id(one.work))
                found.append((one.work, one))
        return found

    def doings(self) -> list[tuple[Step | Check | Measure, Done]]:
        """The printed steps, checks and measurements, each once."""
        seen: set[int] = set()
        found = []
        for one in self.done:
            if isinstance(one.work, Step | Check | Measure) and id(one.work) not in seen:
                seen.add(id(one.work))
                found.append((one.work, one))
        return found

    def hazard(self, name: str) -> Hazard | None:
        """A hazard by name."""
        return next((h for h in self.procedure.hazards if h.name == name), None)

    def wear(self, refs: tuple[Ref, ...]) -> tuple[str, ...]:
        """Protective wear in words."""
        return tuple(lower_first(self.procedure.wear_titles.get(r.name) or self.names.plain(r.name)) for r in refs)

    def panels(self, meets: tuple[Ref, ...], number: str) -> tuple[HazardPanel, ...]:
        """The panels that stand before a step, gravest first; the hazards are noted as met there."""
        found = []
        for ref in meets:
            hazard = self.hazard(ref.name)
            if hazard is None:
                continue
            met, number = self.met.setdefault(hazard.name, []), number.partition("/")[0]
            if number not in met:
                met.append(number)
            found.append(self.panel(hazard))
        return tuple(sorted(found, key=lambda p: RANK[p.signal]))

    def panel(self, hazard: Hazard) -> HazardPanel:
        """A hazard as a panel."""
        return HazardPanel(
            self.profile.signal(hazard),
            (hazard.title or hazard.name.replace("-", " ")).rstrip("."),
            " ".join(hazard.text),
            hazard.avoid,
            self.wear(hazard.wear),
            lower_first(hazard.place),
            person=not hazard.harm or "person" in hazard.harm,
        )
