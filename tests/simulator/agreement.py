"""Holds the validator against the simulator: the same faults, the same shortest lengths, paths that can be walked.

This is the one module here that touches `procforge.analysis`: its result, through `prove`, and nothing of how it
comes by it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from unittest.mock import patch

from procforge.analysis import proof
from procforge.model.base import Variant
from procforge.model.procedure import Procedure
from simulator.program import Body, Lanes, Outcome, flat
from simulator.reader import Reader
from simulator.replay import Event, Replay
from simulator.search import Control, Found, simulate

Key = tuple[str, tuple[str, str, str], frozenset[frozenset[tuple[str, bool]]]]


@dataclass(slots=True)
class Verdict:
    """What both say of a procedure in one variant. `differences` is empty where they agree."""

    faults: Found
    differences: list[str] = field(default_factory=list)
    replayed: int = 0
    skipped: str = ""


def events(fault: proof.Fault) -> list[Event]:
    """The path of a counter-example as events of the simulator."""
    found: list[Event] = []
    for stride in fault.violation.path:
        node = fault.program.nodes[stride.node]
        work, kind = node.work, node.kind.name
        if kind == "OP" and node.micro is not None and node.cost and work is not None:
            found.append(("micro", work.id, work.where.place, node.micro.words))
        elif kind == "RESULT" and work is not None:
            found.append(("outcome", work.id, ("accepted", "rejected")[stride.way]))
        elif kind == "CHOICE" and work is not None:
            ask = work.kind == "ask"
            found.append(("choice", work.id, work.where.place, node.labels[stride.way] if ask else str(stride.way)))
    return found


def done_at_once(body: Body) -> bool:
    """Whether two lanes of a `together` give the same result: what that means is not modelled."""
    for one in flat(body):
        if isinstance(one, Lanes) and one.together:
            given = [{i.result for i in flat(lane) if isinstance(i, Outcome) and i.result} for lane in one.lanes]
            if any(a & b for n, a in enumerate(given) for b in given[:n]):
                return True
    return False


def proved(procedure: Procedure, variant: Variant) -> proof.Proof:
    """The validator's proof of one variant, every fault told."""
    with patch.object(proof, "MOST_TOLD", 10**9):
        return proof.prove(procedure, (variant,))


def key_of(fault: proof.Fault) -> Key:
    """A fault of the validator by the simulator's key: rule, place, formula."""
    violation, work = fault.violation, fault.work
    micro = fault.program.nodes[violation.node].micro
    place = (work.id if work else "", work.where.place if work else "", micro.words if micro else "")
    return violation.rule, place, frozenset(frozenset(a) for a in violation.must.formula)


def compare(procedure: Procedure, variant: Variant) -> Verdict:
    """Both verdicts on one variant."""
    reader = Reader(procedure, variant)
    if done_at_once(reader.body):
        return Verdict({}, skipped="a check done in two lanes at once")
    verdict = Verdict(simulate(reader))
    result = proved(procedure, variant)
    if result.not_proved:
        verdict.differences.append(f"not proved: {[(n.rule, n.checks) for n in result.not_proved]}")
    theirs: Found = {}
    control = Control(reader)
    for fault in result.faults:
        violation, key = fault.violation, key_of(fault)
        place = key[1]
        theirs[key] = violation.length
        if key in verdict.faults:
            path = events(fault)
            wrong = Replay(reader, control, violation.rule).fails(path, place, key[2])
            verdict.replayed += 1
            if wrong or len(path) != violation.length:
                verdict.differences.append(f"{words(key)}: length {violation.length}, path of {len(path)}; {wrong}")
    for key in sorted(theirs.keys() | verdict.faults.keys(), key=str):
        if theirs.get(key) != verdict.faults.get(key):
            verdict.differences.append(
                f"{words(key)}: validator {theirs.get(key)}, simulator {verdict.faults.get(key)}"
            )
    return verdict


def words(key: Key) -> str:
    """A fault in words: rule, place, formula."""
    rule, place, formula = key
    ways = [" and ".join(f if v else f"not {f}" for f, v in sorted(a)) for a in sorted(formula, key=sorted)]
    return f"{rule} at {' '.join(place)}: {' or '.join(ways)}"
