"""The validator against a simulator typed from grammar/semantics.md, on generated procedures with fixed seeds.

Every seed makes a machine and a procedure as text, so that parser and resolver take part. For each variant, the
faults (rule, statement, micro-step, formula) and the length of each shortest counter-example must be the same, and
each counter-example must be a path the simulator can walk. Source of the meaning: the page; of the cases: seeds.

`AGREEMENT_SEEDS=1000-6000 pytest tests/test_agreement.py` takes other seeds, and prints the shares.
"""

from __future__ import annotations

import os
from collections import Counter

import pytest
from simulator.agreement import compare
from simulator.corpus import Case

from procforge.analysis.proof import variants_of

CHUNK = 40


def _seeds() -> range:
    low, _, high = os.environ.get("AGREEMENT_SEEDS", "0-880").partition("-")
    return range(int(low), int(high))


SEEDS = _seeds()
SHARES: Counter[str] = Counter()
RULES: Counter[str] = Counter()


@pytest.mark.parametrize("first", range(SEEDS.start, SEEDS.stop, CHUNK))
def test_validator_and_simulator_agree(first: int) -> None:
    wrong: list[str] = []
    for seed in range(first, min(first + CHUNK, SEEDS.stop)):
        case = Case(seed)
        procedure = case.resolved().value
        faulty = modelled = False
        for variant in variants_of(procedure):
            verdict = compare(procedure, variant)
            wrong += [f"seed {seed} ({case.mode} {case.edits}), {variant.name}: {d}" for d in verdict.differences]
            SHARES["variants"] += not verdict.skipped
            SHARES["faults"] += len(verdict.faults)
            SHARES["paths walked"] += verdict.replayed
            RULES.update(rule for rule, _, _ in verdict.faults)
            faulty |= bool(verdict.faults)
            modelled |= not verdict.skipped
        SHARES["procedures" if modelled else "not modelled"] += 1
        if modelled:
            SHARES["faulty" if faulty else "sound"] += 1
            SHARES[f"{case.mode}, {'faulty' if faulty else 'sound'}"] += 1
    assert not wrong, "\n".join(wrong[:20])


def test_shares_are_fair(capsys: pytest.CaptureFixture[str]) -> None:
    """At least 500 procedures, sound and faulty ones in fair shares, and most rules at work."""
    if SHARES["procedures"] + SHARES["not modelled"] < len(SEEDS):
        pytest.fail("this test counts what the one above it ran: run the whole file in one process")
    with capsys.disabled():
        if "AGREEMENT_SEEDS" in os.environ:
            print("\n", dict(sorted(SHARES.items())), "\n", len(RULES), "rules:", dict(RULES.most_common()))
    if len(SEEDS) >= 500:
        assert SHARES["procedures"] >= 500
        assert min(SHARES["sound"], SHARES["faulty"]) >= SHARES["procedures"] // 5
        assert SHARES["paths walked"] == SHARES["faults"]
        assert len(RULES) >= 70
