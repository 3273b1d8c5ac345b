"""The validator against a simulator typed from grammar/semantics.md, on generated procedures with fixed seeds.

Every seed makes a machine and a procedure as text, so that parser and resolver take part. For each variant, the
faults (rule, statement, micro-step, formula) and the length of each shortest counter-example must be the same, and
each counter-example must be a path the simulator can walk. Source of the meaning: the page; of the cases: seeds.

Jobs are whole jobs on small machines, sound ones and edited ones; tangles are short and nested in every way.
`AGREEMENT_SEEDS=1000-6000 pytest tests/test_agreement.py` takes other seeds for both, and prints the shares.
"""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path
from unittest.mock import patch

import pytest
from simulator.agreement import Key, compare, key_of, proved
from simulator.corpus import Case, TangledCase

from procforge.analysis import proof
from procforge.analysis.proof import variants_of
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve

CHUNK = 40
SHIPPED = sorted((Path(__file__).parent.parent / "procedures").glob("**/*.proc"))


def _chunks(standard: str) -> list[range]:
    low, _, high = os.environ.get("AGREEMENT_SEEDS", standard).partition("-")
    return [range(n, min(n + CHUNK, int(high))) for n in range(int(low), int(high), CHUNK)]


JOBS, TANGLES = _chunks("0-880"), _chunks("0-2000")
SHARES: Counter[str] = Counter()
RULES: Counter[str] = Counter()


def _first(seeds: range) -> str:
    return str(seeds.start)


def hold_against(case: Case | TangledCase, kind: str) -> list[str]:
    """The differences over all variants of one case; counts what it was."""
    procedure = case.resolved().value
    found: list[str] = []
    verdicts = [(v, compare(procedure, v)) for v in variants_of(procedure)]
    for variant, verdict in verdicts:
        found += [f"{kind} {case.seed} ({case.mode} {case.edits}), {variant.name}: {d}" for d in verdict.differences]
        SHARES["faults"] += len(verdict.faults)
        SHARES["paths walked"] += verdict.replayed
        RULES.update(rule for rule, _, _ in verdict.faults)
    modelled = [v for _, v in verdicts if not v.skipped]
    faulty = any(v.faults for v in modelled)
    SHARES["variants"] += len(modelled)
    SHARES[f"{kind}s" if modelled else f"{kind}s not modelled"] += 1
    if modelled:
        SHARES[f"{kind}s, {'faulty' if faulty else 'sound'}"] += 1
        SHARES[f"{kind}s {case.mode}, {'faulty' if faulty else 'sound'}"] += 1
    return found


@pytest.mark.parametrize("seeds", JOBS, ids=_first)
def test_they_agree_on_jobs(seeds: range) -> None:
    wrong = [d for seed in seeds for d in hold_against(Case(seed), "job")]
    assert not wrong, "\n".join(wrong[:20])


@pytest.mark.parametrize("seeds", TANGLES, ids=_first)
def test_they_agree_on_tangles(seeds: range) -> None:
    wrong = [d for seed in seeds for d in hold_against(TangledCase(seed), "tangle")]
    assert not wrong, "\n".join(wrong[:20])


@pytest.mark.parametrize("seeds", [s for s in JOBS if s.start % 4 == 0], ids=_first)
def test_variants_proved_together_are_proved_alike(seeds: range) -> None:
    """All variants at once give each variant's faults, each with the shortest path of any of them."""
    for seed in seeds:
        procedure = Case(seed).resolved().value
        variants = variants_of(procedure)
        with patch.object(proof, "MOST_TOLD", 10**9):
            together = proof.prove(procedure, variants).faults
        alone: dict[Key, dict[str, int]] = {}
        for variant in variants:
            for fault in proved(procedure, variant).faults:
                alone.setdefault(key_of(fault), {})[variant.name] = fault.violation.length
        assert {key_of(f): sorted(v.name for v in f.variants) for f in together} == {
            k: sorted(v) for k, v in alone.items()
        }
        for fault in together:
            lengths = alone[key_of(fault)]
            assert fault.violation.length == min(lengths.values()) == lengths[fault.variants[0].name]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_they_agree_on_what_is_shipped(path: Path) -> None:
    procedure = resolve(Library(), path).value
    verdict = compare(procedure, variants_of(procedure)[-1])
    assert not verdict.differences


def test_shares_are_fair(capsys: pytest.CaptureFixture[str]) -> None:
    """At least 500 jobs, sound and faulty ones in fair shares, most rules at work, every path walked."""
    if "AGREEMENT_SEEDS" in os.environ:
        with capsys.disabled():
            print("\n", dict(sorted(SHARES.items())), "\n", len(RULES), "rules:", dict(RULES.most_common()))
    jobs = sum(map(len, JOBS))
    if SHARES["jobs"] + SHARES["jobs not modelled"] < jobs:
        pytest.skip("counts what the tests above ran: run the whole file")
    assert SHARES["paths walked"] == SHARES["faults"]
    if jobs >= 500:
        assert SHARES["jobs"] >= 500
        assert min(SHARES["jobs, sound"], SHARES["jobs, faulty"]) >= SHARES["jobs"] // 3
        assert len(RULES) >= 70
