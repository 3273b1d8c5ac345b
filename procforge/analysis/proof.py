"""Proves a procedure on every variant: variants that behave alike are proved once, faults come with their paths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from procforge.analysis.build import build_program
from procforge.analysis.dense import Bits, Pass
from procforge.analysis.doings import Common
from procforge.analysis.machine import Machine
from procforge.analysis.micro import Must
from procforge.analysis.program import Program
from procforge.analysis.regions import Regions
from procforge.analysis.search import Budget, BudgetSpent, Search, Violation
from procforge.model.base import Scope, Variant
from procforge.model.procedure import AnyWork, Procedure
from procforge.model.tree import walk


@dataclass(frozen=True, slots=True)
class Fault:
    """A violation with the program it was found in and the variants it holds for, that of the program first."""

    violation: Violation
    program: Program
    variants: tuple[Variant, ...]

    @property
    def work(self) -> AnyWork | None:
        """The statement at which the need fails; None at the end of the job."""
        return self.program.nodes[self.violation.node].work


@dataclass(frozen=True, slots=True)
class NotProved:
    """A rule that the budget did not suffice to decide, with the checks its decisions hang on."""

    rule: str
    facts: tuple[str, ...]
    checks: tuple[str, ...]
    variants: tuple[Variant, ...]
    program: Program


#: So many cones of one rule are searched that have faults; the rest of its suspicions is counted, not told.
MOST_TOLD = 40


@dataclass(slots=True)
class Proof:
    """What the proof found. `programs` holds one program for each class of variants that behave alike."""

    faults: list[Fault] = field(default_factory=list)
    not_proved: list[NotProved] = field(default_factory=list)
    programs: list[tuple[tuple[Variant, ...], Program]] = field(default_factory=list)
    unsearched: dict[str, int] = field(default_factory=dict)
    unreached: list[AnyWork] = field(default_factory=list)
    work: int = 0


def variants_of(procedure: Procedure, only: Iterable[Variant] | None = None) -> tuple[Variant, ...]:
    """The variants the procedure applies to, narrowed to `only` if given."""
    declared = tuple(v for v in procedure.equipment.variants if procedure.applies.holds(v))
    if only is None:
        return declared
    wanted = {(v.model, v.service) for v in only}
    return tuple(v for v in declared if (v.model, v.service) in wanted)


def classes(procedure: Procedure, variants: tuple[Variant, ...]) -> list[tuple[tuple[Variant, ...], Machine]]:
    """Variants grouped by all that the proof can see of them."""
    scopes: dict[tuple[object, ...], Scope] = {}
    for caller in (procedure, *procedure.callees.values()):
        for work in walk(caller.body):
            scope = work.only_for
            scopes[scope.models, scope.services] = scope
        scopes[caller.applies.models, caller.applies.services] = caller.applies
    listed = list(scopes.values())
    found: dict[tuple[object, ...], tuple[list[Variant], Machine]] = {}
    for variant in variants:
        machine = Machine(procedure.equipment, variant)
        key = (machine.signature, tuple(s.holds(variant) for s in listed))
        if key in found:
            found[key][0].append(variant)
        else:
            found[key] = ([variant], machine)
    return [(tuple(vs), machine) for vs, machine in found.values()]


def prove(procedure: Procedure, variants: tuple[Variant, ...], budget: int = 3_000_000) -> Proof:
    """Decide every need of every step on every path of every variant given."""
    proof = Proof()
    left = Budget(budget)
    merged: dict[tuple[object, ...], Fault] = {}
    reached: set[int] = set()
    common, bits = Common(), Bits(shared=True)
    for group, machine in classes(procedure, variants):
        program = build_program(procedure, machine, common=common)
        proof.programs.append((group, program))
        violations, undecided, here, more = prove_program(program, left, bits)
        reached |= here
        for rule, count in more.items():
            proof.unsearched[rule] = max(proof.unsearched.get(rule, 0), count)
        for rule, facts, checks in undecided:
            proof.not_proved.append(NotProved(rule, facts, checks, group, program))
        for violation in violations:
            work = program.nodes[violation.node].work
            micro = program.nodes[violation.node].micro
            key = (
                violation.rule,
                violation.must.formula,
                work.id if work else "",
                work.where if work else None,
                micro.words if micro else "",
            )
            if key in merged:
                earlier = merged[key]
                if violation.length < earlier.violation.length:  # the path told is the shortest of any variant's
                    merged[key] = Fault(violation, program, group + earlier.variants)
                else:
                    merged[key] = Fault(earlier.violation, earlier.program, earlier.variants + group)
            else:
                merged[key] = Fault(violation, program, group)
    proof.faults = list(merged.values())
    proof.work = budget - left.left
    if proof.programs:
        shown = {id(n.work) for _, program in proof.programs for n in program.nodes if n.skipped}
        proof.unreached = [w for w in walk(procedure.body) if id(w) not in reached and id(w) not in shown and _does(w)]
    return proof


def _does(work: AnyWork) -> bool:
    return work.kind in ("step", "check", "measure", "hold", "ask", "mark", "call")


def prove_program(
    program: Program, budget: Budget, bits: Bits | None = None
) -> tuple[list[Violation], list[tuple[str, tuple[str, ...], tuple[str, ...]]], set[int], dict[str, int]]:
    """The violations of one program; what stayed undecided; the statements some path reaches; what was not searched.

    A rule with faults on many facts is not searched to the last of them: the file is faulty either way. `bits` are
    those of other variants' programs.
    """
    bits = bits or Bits(shared=True)
    bits.learn(program)
    first = Pass(program, bits).run()
    reached = {
        id(program.nodes[i].work) for i, here in enumerate(first.reached) if here and program.nodes[i].work is not None
    }
    facts = {bits.pairs[n][1] for n in _numbers(first.bits)} | {f for _, listed in first.wide for f in listed}
    if not facts and not first.wide:
        return [], [], reached, {}
    bits = Bits(only=_joined(program, facts))
    bits.learn(program)
    suspicions = Pass(program, bits).run()
    regions = Regions(program)
    violations: list[Violation] = []
    undecided: list[tuple[str, tuple[str, ...], tuple[str, ...]]] = []
    told: dict[str, int] = {}
    more: dict[str, int] = {}
    for rule, cone in _cones(program, bits, suspicions.bits, suspicions.wide):
        if told.get(rule, 0) >= MOST_TOLD:
            more[rule] = more.get(rule, 0) + 1
            continue
        try:
            found = Search(program, rule, cone, budget, regions).run()
        except BudgetSpent as spent:
            budget.left = max(budget.left, 0)
            violations += spent.found
            undecided.append((rule, cone, spent.checks))
            continue
        violations += found
        told[rule] = told.get(rule, 0) + bool(found)
    return violations, undecided, reached, more


def _numbers(bits: int) -> Iterator[int]:
    """The numbers of the bits that are set."""
    number = 0
    while bits:
        if bits & 1:
            yield number
        bits >>= 1
        number += 1


def _formulas(program: Program) -> Iterator[Must]:
    """Every need of the program, once."""
    seen: set[int] = set()
    for node in program.nodes:
        if node.micro is not None and id(node.micro) not in seen:
            seen.add(id(node.micro))
            yield from node.micro.needs


def _joined(program: Program, facts: set[str]) -> frozenset[str]:
    """The facts with all that any formula joins to them."""
    wide = {
        frozenset(f for way in must.formula for f, _ in way)
        for must in _formulas(program)
        if len(must.formula) > 1 or (must.formula and len(must.formula[0]) > 1)
    }
    found = set(facts)
    while True:
        more = {f for group in wide if group & found for f in group} - found
        if not more:
            return frozenset(found)
        found |= more


def _cones(
    program: Program, bits: Bits, suspicious: int, wide: dict[tuple[str, frozenset[str]], None]
) -> list[tuple[str, tuple[str, ...]]]:
    """The rules and groups of facts to search: facts that one formula of a rule joins belong together."""
    group: dict[tuple[str, str], tuple[str, str]] = {}

    def root(key: tuple[str, str]) -> tuple[str, str]:
        while group.setdefault(key, key) != key:
            key = group[key]
        return key

    members: dict[tuple[str, str], list[str]] = {}
    for must in _formulas(program):
        facts = [f for way in must.formula for f, _ in way if f in bits.of_fact]
        for fact in facts[1:]:
            group[root((must.rule, fact))] = root((must.rule, facts[0]))
    wanted: dict[tuple[str, str], None] = {}
    found: list[tuple[str, tuple[str, ...]]] = []
    for number in _numbers(suspicious):
        wanted[root(bits.pairs[number])] = None
    for rule, facts_ in wide:
        if facts_:
            wanted[root((rule, min(facts_)))] = None
        else:
            found.append((rule, ()))
    if wanted:
        for pair in bits.pairs:
            members.setdefault(root(pair), []).append(pair[1])
    found += [(key[0], tuple(members.get(key, [key[1]]))) for key in wanted]
    return found


def sound(proof: Proof) -> bool:
    """Whether some variant was proved, every need decided, and none fails."""
    return bool(proof.programs) and not (proof.faults or proof.not_proved or proof.unsearched)
