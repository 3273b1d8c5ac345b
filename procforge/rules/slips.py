"""Which faults of the proof are one slip: one finding is told for each slip, not for each thing it spoils.

Two faults are one slip where the same fact is wrong at both, where one missing step could have set right what is
wrong at both, where one step undid both, where a step stands before several that it needs, where two steps stand in the wrong order,
or where one rule is broken by several things handled on one line.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from procforge.analysis.machine import Machine
from procforge.analysis.micro import Expander, all_checks, demanded_checks
from procforge.analysis.select import WHOLE, Act
from procforge.analysis.states import Literal
from procforge.model.procedure import AnyWork, Hold, Procedure
from procforge.model.tree import walk
from procforge.model.verbs import ROWS, words

Place = tuple[int, int]
Step = tuple[str, str]

#: Verbs that one step says of many devices at once: what is missing may be one line for all of them.
MANY = frozenset({"isolate", "return", "open", "shut", "switch-on", "switch-off", "lock", "unlock", "vent", "drain"})
START: Place = (-1, -1)
END: Place = (1 << 60, 0)


@dataclass(frozen=True, slots=True)
class Slip:
    """What grouping needs to know of a fault: the wrong fact and its value, where it became so, where it bites.

    `set_by`: the later step that sets the fact right, `redone_by` the one that sets it wrong again, 0 if none does. `parts`: what a wrong fastener or seal holds
    or seals, or the part itself that is out.
    """

    rule: str
    fact: str
    value: bool
    undone: Place
    undone_by: tuple[str, int, str, str]
    undone_line: tuple[str, int] | None
    bites: Place
    line: tuple[str, int] | None
    sets: frozenset[Literal]
    undone_work: int
    work: int
    set_by: int
    redone_by: int
    parts: frozenset[str]

    @property
    def device(self) -> str | None:
        """The device that is not set or not locked, None for other faults: to set and to lock it go together."""
        state, _, name = self.fact.partition(" ")
        return name if state in ("set", "locked") and not self.value else None

    def overlaps(self, other: Slip) -> bool:
        """Whether a step could stand after both facts went wrong and before either bites."""
        return max(self.undone, other.undone) < min(self.bites, other.bites) or self.bites == other.bites

    def crossed(self, later: Slip) -> bool:
        """Whether the step that comes too late for this one spoils the later one, or is spoilt by this one."""
        spoilt = (self.fact, not self.value) in later.sets and later.undone_work == self.work != 0
        return spoilt or later.undone_work == self.set_by != 0

    def outranks(self, other: Slip) -> bool:
        """A space that is not isolated is neither relieved nor proved: one fault of the step that opens it."""
        return (
            self.work == other.work != 0
            and self.rule == "opened-before-isolated"
            and other.rule in ("opened-before-locked", "opened-before-relieved", "opened-before-proved")
        )

    def carries(self, other: Slip) -> bool:
        """A part that is out leaves its fasteners off and its seals out; one that is in keeps them on and in."""
        held = self.fact.startswith("in ") and other.there == self.value
        return held and bool(self.parts & other.parts) and self.overlaps(other)

    @property
    def there(self) -> bool:
        """Whether what the fact speaks of is wrongly in place; a loose fastener is not."""
        return self.value != self.fact.startswith(("off ", "eased "))


class Order:
    """Places in written order."""

    def __init__(self, procedure: Procedure) -> None:
        self._at = {id(work): n for n, work in enumerate(walk(procedure.body))}

    def place(self, work: AnyWork | None, node: int) -> Place:
        """Where a node's statement stands; the end for none."""
        return (self._at.get(id(work), len(self._at)), node) if work is not None else END


class Makers:
    """The steps that would set a fact, by verb and thing, for one variant's machine."""

    def __init__(self, procedure: Procedure, machine: Machine) -> None:
        demanded = demanded_checks(machine)
        self._made: dict[Literal, set[Step]] = {}
        expander = Expander(machine, all_checks(procedure, machine, demanded), demanded)
        for name, item in machine.items.items():
            for row in ROWS:
                verb = row.name.removesuffix("-new")
                if item.kind in row.on:
                    micro = expander.act(verb, Act(name), row.name != verb)
                    if micro is not None:
                        self._note(micro.effects + micro.passed, (verb, "" if verb in MANY else item.base))
        for row in ROWS:
            for effect in row.effects:
                if effect.whom == "machine":
                    self._note([(effect.state, effect.value)], (row.name, WHOLE))
        for number, rule in enumerate(procedure.house_rules):
            answered = rule.form == "every"
            self._note([(f"done house-rule-{number + 1}", not answered)], rule.answer if answered else rule.first)
        for work in walk(procedure.body):
            if isinstance(work, Hold):
                self._note([(f"released {work.name}", True)], ("hold", work.name))
                self._note([(f"witnessed {r.name}", True) for r in work.sees], ("hold", work.name))
            for ref in getattr(work, "makes", ()):
                things = {r.name.partition(" of ")[0] for r in getattr(work, "objects", ())} or {""}
                for thing in things:
                    self._note([(f"made {ref.name}", True)], (getattr(work, "verb", work.kind), thing))

    def _note(self, literals: Iterable[Literal], step: Step) -> None:
        for literal in literals:
            self._made.setdefault(literal, set()).add(step)

    def of(self, slip: Slip) -> set[Step]:
        """The steps that set right what is wrong."""
        made = self._made.get((slip.fact, not slip.value), set())
        return made or ({("hold", "")} if slip.fact.startswith("witnessed ") else made)


def lost_rules(procedure: Procedure) -> set[str]:
    """House rules whose first event nothing is called: they cannot be kept, and that is their one finding."""
    known = {*words(), *(f.name for f in procedure.facts)}
    for work in walk(procedure.body):
        known |= {getattr(work, "name", ""), getattr(work, "as_name", "")}
    rules = enumerate(procedure.house_rules, 1)
    return {f"house-rule-{n}" for n, rule in rules if rule.first[0] and rule.first[0] not in known}


class Groups:
    """Union of what belongs together."""

    def __init__(self, count: int) -> None:
        self._up = list(range(count))

    def root(self, one: int) -> int:
        """The group something is in."""
        while self._up[one] != one:
            self._up[one] = self._up[self._up[one]]
            one = self._up[one]
        return one

    def join(self, one: int, other: int) -> None:
        """Put two groups together; the earlier one stands for both."""
        a, b = sorted((self.root(one), self.root(other)))
        self._up[b] = a


def grouped(slips: list[Slip], makers: Callable[[int], Makers]) -> list[list[int]]:
    """The faults (in the order given, gravest first) by slip. `makers` gives those of a fault's variant."""
    groups = Groups(len(slips))
    everyone = range(len(slips))
    for members in _alike(everyone, lambda n: [(slips[n].fact or n, slips[n].value)]):
        _join_overlapping(slips, members, groups)
    for members in _alike(everyone, lambda n: [("device", slips[n].device)]):
        _join_overlapping(slips, members, groups)
    for members in _alike(everyone, lambda n: [slips[n].undone_by] if slips[n].undone_by[0] else []):
        _join_all(members, groups)
    # What follows is asked of the first fault of each slip only: later ones meet by accident, at the last step.
    heads = sorted({groups.root(n) for n in everyone})
    if len(heads) == 1:
        return [list(everyone)]
    for members in _alike(
        heads, lambda n: [("at", slips[n].rule, slips[n].line), ("left", slips[n].rule, slips[n].undone_line)]
    ):
        _join_all(members, groups)
    for members in _alike(heads, lambda n: [("early", slips[n].work if slips[n].set_by else None)]):
        _join_all(members, groups)
    for members in _alike(heads, lambda n: makers(n).of(slips[n])):
        _join_overlapping(slips, members, groups)
    for members in _alike(heads, lambda n: _handled(slips[n], makers(n))):
        _join_overlapping(slips, members, groups)
    for a, b in combinations(heads[:200], 2):
        for one, other in ((slips[a], slips[b]), (slips[b], slips[a])):
            if one.crossed(other) or one.outranks(other) or one.carries(other):
                groups.join(a, b)
    found: dict[int, list[int]] = {}
    for n in everyone:
        found.setdefault(groups.root(n), []).append(n)
    return list(found.values())


def _handled(slip: Slip, makers: Makers) -> Iterator[Hashable]:
    """The missing verb with the step that handles the thing the other way: things handled together are so both ways."""
    for verb, _ in makers.of(slip):
        if verb in ("fit", "remove"):
            yield verb, (slip.undone_work if verb == "fit" else slip.redone_by) or None


def _alike(members: Iterable[int], keys: Callable[[int], Iterable[Hashable]]) -> Iterator[list[int]]:
    """Those that share a key, for each key; a key that is None is none."""
    found: dict[Hashable, list[int]] = {}
    for n in members:
        for key in keys(n):
            if not (isinstance(key, tuple) and None in key):
                found.setdefault(key, []).append(n)
    yield from (group for group in found.values() if len(group) > 1)


def _join_all(members: list[int], groups: Groups) -> None:
    for other in members[1:]:
        groups.join(members[0], other)


def _join_overlapping(slips: list[Slip], members: list[int], groups: Groups) -> None:
    pairs = combinations(members, 2) if len(members) < 40 else pairwise(members)
    for a, b in pairs:
        if slips[a].overlaps(slips[b]):
            groups.join(a, b)
