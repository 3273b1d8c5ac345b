"""Holds the validator against the deciders on one job. The only module here that touches the validator."""

from __future__ import annotations

from collections import Counter
from unittest.mock import patch

from simulator.agreement import Key, done_at_once, key_of, proved, words
from simulator.corpus import resolve_files
from simulator.reader import Reader

from deciders.automaton import Compiler, TooLarge, given_at_once
from deciders.deciding import Lengths, by_clingo, by_networkx, by_z3
from deciders.product import Product, rules_of
from deciders.tree import Tree
from deciders.whole_jobs import WholeJob
from procforge.analysis import proof
from procforge.model.base import Variant
from procforge.model.procedure import Hole, Procedure
from procforge.model.tree import walk

#: Automata with more edges are left to networkx: the others evaluate whole relations.
MOST_LINKS = 160


def claimed(procedure: Procedure, large: bool) -> Lengths:
    """What the validator says: each need that fails, with the length of its shortest path."""
    with patch.object(proof, "MOST_TOLD", 10**9):
        result = proof.prove(procedure, (Variant.make(model="large" if large else "small"),))
    assert not result.not_proved and not result.unsearched
    found: Lengths = {}
    for fault in result.faults:
        violation, work = fault.violation, fault.work
        micro = fault.program.nodes[violation.node].micro
        formula = frozenset(frozenset(a) for a in violation.must.formula)
        found[violation.rule, work.where.line if work else 0, micro.words if micro else "", formula] = violation.length
    return found


def differences(tree: Tree, counts: Counter[str], others: bool) -> list[str]:
    """What validator and deciders say differently of a job; `others` asks clingo and z3 too."""
    if given_at_once(tree.items):
        counts["not modelled: one check in two lanes at once"] += 1
        return []
    procedure = resolve_files(tree.files).value
    if procedure.partial or any(isinstance(work, Hole) for work in walk(procedure.body)):
        counts["not modelled: a result read that nothing gives"] += 1
        return []
    found: list[str] = []
    faulty = False
    for large in (False, True):
        rig = tree.rig(large)
        try:
            compiled = Compiler(rig, tree.items, tree.lines)
        except TooLarge:
            counts["too large"] += 1
            continue
        theirs, ours = claimed(procedure, large), {}
        for rule in rules_of(compiled):
            product = Product(rule, compiled)
            lengths = by_networkx(product)
            ours |= lengths
            counts["rules by networkx"] += 1
            if others and len(product.links) <= MOST_LINKS:
                counts["rules by clingo and z3"] += 1
                most = max(lengths.values(), default=0)
                answers = {"clingo": set(by_clingo(product)), "z3": by_z3(product)}
                found += [
                    f"{rule}: {who} {sorted(map(str, a ^ set(lengths)))}"
                    for who, a in answers.items()
                    if a != set(lengths)
                ]
                if most and by_clingo(product, most) != lengths:
                    found.append(f"{rule}: clingo's lengths differ")
        faulty = faulty or bool(ours)
        counts["jobs in one variant"] += 1
        counts["faults"] += len(ours)
        for key in sorted(theirs.keys() | ours.keys(), key=str):
            if theirs.get(key) != ours.get(key):
                rule, line, words, formula = key
                text = " or ".join(" and ".join(f"{f}={v}" for f, v in sorted(a)) for a in formula)
                found.append(
                    f"{rule} line {line} {words} [{text}]: validator {theirs.get(key)}, networkx {ours.get(key)}"
                )
    counts["faulty" if faulty else "sound"] += 1
    return [f"tree {tree.seed} ({tree.kind}): {d}" for d in found]


def whole_job(procedure: Procedure, variant: Variant, counts: Counter[str], others: bool) -> list[str]:
    """The same of a whole generated job, on the simulator's own moves (see `whole_jobs.py`)."""
    reader = Reader(procedure, variant)
    if done_at_once(reader.body):
        return []
    try:
        job = WholeJob(reader)
    except TooLarge:
        counts["whole jobs too large"] += 1
        return []
    if not job.said:
        counts["whole jobs with calls or holes, not said"] += 1
        return []
    theirs = {key_of(f): f.violation.length for f in proved(procedure, variant).faults}
    ours: dict[Key, int] = {}
    found = []
    left = 3 if others else 0
    for rule in rules_of(job):
        product = Product(rule, job)
        lengths = by_networkx(product)
        ours |= job.found(lengths)
        if left and len(product.links) <= MOST_LINKS:
            left -= 1
            counts["rules of whole jobs by clingo and z3"] += 1
            for who, answer in (("clingo", set(by_clingo(product))), ("z3", by_z3(product))):
                if answer != set(lengths):
                    found.append(f"{rule}: {who} {sorted(map(str, answer ^ set(lengths)))}")
    counts["whole jobs in one variant"] += 1
    counts[f"whole jobs, {'faulty' if ours else 'sound'}"] += 1
    counts["faults of whole jobs"] += len(ours)
    for key in sorted(theirs.keys() | ours.keys(), key=str):
        if theirs.get(key) != ours.get(key):
            found.append(f"{words(key)}: validator {theirs.get(key)}, networkx {ours.get(key)}")
    return found
