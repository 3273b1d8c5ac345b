"""The validator against networkx, clingo, z3 and spin, on an encoding typed from grammar/semantics.md by hand.

The encoding shares no code with the validator or the simulator (see `deciders/__init__.py`). Sources: the page for the
meaning; networkx (PyPI), clingo (PyPI), z3-solver (PyPI) and spin (Debian) for the verdicts. All four must name the
same needs; networkx, clingo and spin the same shortest lengths.

`DECIDER_SEEDS=5000-8000 pytest tests/test_deciders.py` takes other generated jobs, and prints the shares.
"""

from __future__ import annotations

import os
import subprocess
from collections import Counter
from pathlib import Path

import pytest
from deciders.against import claimed, differences, whole_job
from deciders.deciding import by_networkx
from deciders.fixed import FIXED, Fixed, FixedTree
from deciders.meaning import Rig
from deciders.tree import Tree
from simulator.corpus import Case, resolve_files

from procforge.analysis.proof import variants_of

CHUNK = 50
#: Every so many jobs go to clingo and z3 as well: they evaluate whole relations, networkx what can be reached.
OTHERS_EVERY = 40
PROMELA = Path(__file__).parent / "deciders" / "promela"
SHARES: Counter[str] = Counter()
LOW, _, HIGH = os.environ.get("DECIDER_SEEDS", "0-400").partition("-")
CHUNKS = [range(n, min(n + CHUNK, int(HIGH))) for n in range(int(LOW), int(HIGH), CHUNK)]


@pytest.mark.parametrize("seeds", CHUNKS, ids=lambda s: str(s.start))
def test_they_agree_on_generated_jobs(seeds: range) -> None:
    wrong = [d for seed in seeds for d in differences(Tree(seed), SHARES, seed % OTHERS_EVERY == 0)]
    assert not wrong, "\n".join(wrong[:20])


@pytest.mark.parametrize("seeds", CHUNKS, ids=lambda s: str(s.start))
def test_they_agree_on_whole_jobs(seeds: range) -> None:
    """Generated machines and whole jobs: here the moves are the simulator's, the deciding is not."""
    wrong = []
    for seed in seeds:
        procedure = Case(seed).resolved().value
        for variant in variants_of(procedure):
            wrong += [f"job {seed}: {d}" for d in whole_job(procedure, variant, SHARES, seed % OTHERS_EVERY == 0)]
    assert not wrong, "\n".join(wrong[:20])


def test_shares_are_fair(capsys: pytest.CaptureFixture[str]) -> None:
    """Sound and faulty jobs, each at least a third; all but a few of the jobs can be said."""
    with capsys.disabled():
        print("\n", dict(sorted(SHARES.items())))
    judged = SHARES["sound"] + SHARES["faulty"]
    if judged < sum(map(len, CHUNKS)) * 8 // 10:
        pytest.skip("counts what the tests above ran: run the whole file")
    assert min(SHARES["sound"], SHARES["faulty"]) >= judged // 3
    whole = SHARES["whole jobs in one variant"]
    assert min(SHARES["whole jobs, sound"], SHARES["whole jobs, faulty"]) >= whole // 3 >= len(CHUNKS) * CHUNK // 3


@pytest.mark.parametrize("sound", [True, False], ids=["sound", "faulty"])
@pytest.mark.parametrize("case", FIXED, ids=lambda c: c.name)
def test_fixed_cases(case: Fixed, sound: bool) -> None:
    """The verdict worked out by hand, from all three and the validator."""
    tree = FixedTree(case, sound)
    assert not differences(tree, Counter(), True)
    procedure = resolve_files(tree.files).value
    lengths = [n for large in (False, True) for key, n in claimed(procedure, large).items() if key[0] == case.rule]
    assert min(lengths, default=None) == (None if sound else case.length)


def _spin(name: str, most: int, where: Path) -> bool:
    """Whether spin finds the need of a model broken on a path of fewer than `most` steps."""
    where.mkdir()
    make = ["spin", f"-DK={most}", "-a", str(PROMELA / f"{name}.pml")]
    subprocess.run(make, cwd=where, check=True, capture_output=True)
    subprocess.run(["gcc", "-w", "-DSAFETY", "-o", "pan", "pan.c"], cwd=where, check=True, capture_output=True)
    told = subprocess.run(["./pan", "-m100000"], cwd=where, check=True, capture_output=True, text=True).stdout
    assert "errors: " in told and "max search depth too small" not in told
    return "errors: 0" not in told


@pytest.mark.parametrize("case", FIXED, ids=lambda c: c.name)
def test_spin_says_the_same_of_models_written_by_hand(case: Fixed, tmp_path: Path) -> None:
    assert not _spin(f"{case.name}-sound", 250, tmp_path / "sound")
    assert not _spin(f"{case.name}-faulty", case.length, tmp_path / "before")
    assert _spin(f"{case.name}-faulty", case.length + 1, tmp_path / "at")


def test_the_comparison_can_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    """A table that forgets one need, an automaton with one effect less, are told apart from the validator."""
    case = next(c for c in FIXED if c.name == "two-branches")
    with monkeypatch.context() as patch:
        patch.setattr(Rig, "do_ease", lambda *_: ([], [], []))
        assert any("validator 6, networkx None" in d for d in differences(FixedTree(case, False), Counter(), False))
    with monkeypatch.context() as patch:
        patch.setattr(Rig, "do_prove", lambda *_: ([], [], []))
        assert any("validator None, networkx 7" in d for d in differences(FixedTree(case, True), Counter(), False))
    with monkeypatch.context() as patch:
        patch.setattr("deciders.against.by_networkx", lambda p: {k: n + 1 for k, n in by_networkx(p).items()})
        assert any("validator 6, networkx 7" in d for d in differences(FixedTree(case, False), Counter(), False))
