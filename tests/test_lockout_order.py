"""29 CFR 1910.147 as an oracle: its sequence, typed by hand as a partial order, against the validator.

Source: 29 CFR 1910.147(d)(1)-(6) "shall be done in the following sequence", (e)(1)-(3) and (f)(1). Every linear
extension must pass; each adjacent swap of an ordered pair must fail with the rule named beside the pair.

The rig is a gas motor with an electric starter: the gas valve and the breaker both isolate the shaft, so that shutting
down comes before either. What each event is made of is our own invention; networkx lists the linear extensions.
"""

from __future__ import annotations

from itertools import islice, pairwise
from typing import Any

import networkx as nx
import pytest
from simulator.corpus import resolve_files
from simulator.quick import first_fault
from simulator.reader import Reader

from procforge.analysis.proof import prove, sound
from procforge.model.base import Variant

RIG = """\
equipment RIG "Gas motor"
isolator breaker "Breaker of the starter"
  in service on, isolates when off
isolator gas-valve "Gas valve"
  in service open, isolates when shut
valve vent "Vent"
  in service shut
pressure-space casing "Casing"
  holds air
  pressure 6 bar(g)
  isolated by gas-valve
  vented by vent
  tested in service
motion shaft "Shaft"
  driven by starter, proved by try-start
  isolated by breaker, gas-valve
guard screen "Screen"
  guards shaft
part cover "Cover"
  closes casing
  held by nuts
  near shaft
fastener nuts "Cover nuts"
"""
#: What each event of the standard is on this rig.
EVENTS: dict[str, tuple[str, ...]] = {
    "tell before": ("notify control-room",),  # (c)(9)
    "shut down": ("shut-down RIG",),  # (d)(2)
    "isolate the breaker": ("isolate breaker",),  # (d)(3)
    "isolate the gas": ("isolate gas-valve",),
    "lock the breaker": ("lock breaker",),  # (d)(4)
    "lock the gas": ("lock gas-valve",),
    "relieve": ("vent casing", "shut vent"),  # (d)(5)
    "verify zero pressure": ("prove casing",),  # (d)(6)
    "verify no start": ("try-start starter",),
    "work": ("remove screen", "remove nuts, cover", "look-into casing", "fit cover", "tighten nuts", "fit screen"),
    "inspect the area": ("clear area",),  # (e)(1), (e)(2)
    "lock off the breaker": ("unlock breaker",),  # (e)(3)
    "lock off the gas": ("unlock gas-valve",),
    "energise": ("return breaker", "return gas-valve", "leak-test casing"),
    "tell after": ("notify control-room",),  # (e)(2)(ii)
    "start": ("start RIG",),
}
#: Which event comes before which, and the rule that says so when the two are changed round.
ORDER: dict[tuple[str, str], str] = {
    ("tell before", "shut down"): "",  # left to the planner: many sites tell with the permit
    ("shut down", "isolate the breaker"): "isolated-before-shut-down",
    ("shut down", "isolate the gas"): "isolated-before-shut-down",
    ("isolate the breaker", "lock the breaker"): "locked-before-set",
    ("isolate the gas", "lock the gas"): "locked-before-set",
    ("lock the gas", "relieve"): "relieved-before-locked",
    ("relieve", "verify zero pressure"): "proved-before-relieved",
    ("lock the breaker", "verify no start"): "proved-before-locked",
    ("lock the gas", "verify no start"): "proved-before-locked",
    ("verify zero pressure", "work"): "opened-before-proved",
    ("verify no start", "work"): "guard-off-too-early",
    ("work", "inspect the area"): "unlocked-area-not-clear",
    ("inspect the area", "lock off the breaker"): "unlocked-area-not-clear",
    ("inspect the area", "lock off the gas"): "unlocked-area-not-clear",
    ("lock off the breaker", "energise"): "returned-while-locked",
    ("lock off the gas", "energise"): "returned-while-locked",
    ("lock off the breaker", "tell after"): "people-not-told",
    ("lock off the gas", "tell after"): "people-not-told",
    ("tell after", "start"): "people-not-told",
    ("energise", "start"): "",  # nothing of the standard: a machine without energy does not start
}


def _extensions() -> list[list[str]]:
    graph: Any = nx.DiGraph(list(ORDER))
    assert set(graph) == set(EVENTS)
    # Every pair is a covering one: none follows from the others, so each can be changed round alone.
    assert set(nx.transitive_reduction(graph).edges) == set(ORDER)
    return list(islice(nx.all_topological_sorts(graph), 5000))


EXTENSIONS = _extensions()


def rules(*steps: str) -> set[str]:
    """The rules that a job of these steps breaks; the simulator must find a fault too, or none."""
    lines = [
        'procedure P "Job"',
        'use "rig.equip"',
        "crew 1 fitter, 1 supervisor",
        *(s if s in BARE else f"step {s}" for s in steps),
    ]
    outcome = resolve_files({"rig.equip": RIG, "job.proc": "\n".join(lines) + "\n"})
    assert not outcome.findings
    procedure = outcome.value
    proof = prove(procedure, (Variant.make(),))
    assert sound(proof) == (not first_fault(Reader(procedure, Variant.make())))
    return {f.violation.rule for f in proof.faults}


BARE = ("lend-back", "end")


def job(events: list[str]) -> list[str]:
    """The steps of events."""
    return [s for e in events for s in EVENTS[e]]


def test_every_linear_extension_passes() -> None:
    assert 100 < len(EXTENSIONS) < 5000
    for events in EXTENSIONS:
        assert rules(*job(events)) == set(), events


@pytest.mark.parametrize(("pair", "rule"), ORDER.items(), ids=[" < ".join(p) for p in ORDER])
def test_each_adjacent_swap_fails_with_the_named_rule(pair: tuple[str, str], rule: str) -> None:
    tried = 0
    for events in EXTENSIONS:
        at = next((n for n, both in enumerate(pairwise(events)) if both == pair), None)
        if at is None:
            continue
        swapped = [*events[:at], pair[1], pair[0], *events[at + 2 :]]
        broken = rules(*job(swapped))
        assert rule in broken if rule else not broken, swapped
        tried += 1
        if tried == 12:
            break
    assert tried


def test_relieving_before_locking_is_caught() -> None:
    """A published manual has this order; the standard has not."""
    order = [
        "tell before",
        "shut down",
        "isolate the breaker",
        "isolate the gas",
        "relieve",
        "lock the breaker",
        "lock the gas",
    ]
    assert "relieved-before-locked" in rules(*job(order))


SAFE = job(list(EVENTS)[:9])
OPEN = ("remove nuts, cover", "look-into casing", "fit cover", "tighten nuts")
LENT = ("unlock breaker", "unlock gas-valve", "return breaker", "return gas-valve")
AGAIN = ("isolate breaker", "isolate gas-valve", "lock breaker", "lock gas-valve")
PROVED = ("vent casing", "shut vent", "prove casing", "try-start starter")
REST = job(list(EVENTS)[10:])
F1 = {
    "as it should be": ([*SAFE, *OPEN, "clear area", "lend-back", *LENT, *AGAIN, "end", *PROVED, *OPEN, *REST], ""),
    "people not clear": ([*SAFE, *OPEN, "lend-back", *LENT, *AGAIN, "end", *PROVED, *OPEN, *REST], "lent-back-not-clear"),
    "energised under the lock": ([*SAFE, *OPEN, "clear area", "lend-back", *LENT[2:], *AGAIN, "end", *PROVED, *OPEN, *REST], "returned-while-locked"),
    "not isolated again": ([*SAFE, *OPEN, "clear area", "lend-back", *LENT, "end", *PROVED, *OPEN, *REST], "lent-back-not-isolated"),
    "not verified again": ([*SAFE, *OPEN, "clear area", "lend-back", *LENT, *AGAIN, "end", *PROVED[:2], *OPEN, *REST], "opened-before-proved"),
}  # fmt: skip


@pytest.mark.parametrize("case", F1)
def test_energy_lent_back_for_a_test_in_the_middle(case: str) -> None:
    """(f)(1): tools out, people clear, locks off, energise and test, de-energise, isolate and go on."""
    steps, rule = F1[case]
    assert rule in rules(*steps) if rule else not rules(*steps)
