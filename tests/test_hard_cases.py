"""Procedures made of formulas: a fault can be reached if and only if the formula can be satisfied (3-SAT, so no budget
suffices for all of them). Small ones must be decided as brute force does; large ones may end undecided, in their time
and memory, but none may be called sound that is not.

Each variable is a check, done once; each clause reads its checks again and stops where all three say no; what comes
after the last clause is a part left out. Near 4.3 clauses a variable such formulas are hard (Mitchell, Selman and
Levesque, "Hard and Easy Distributions of SAT Problems", AAAI 1992; from memory).
"""

from __future__ import annotations

import subprocess
import sys
import time
from itertools import product
from pathlib import Path
from random import Random

import pytest

from procforge.stages import Checked
from tests.test_attack import HEAD, MACHINE, parts, rules
from tests.vandal import looked_at

Clause = tuple[tuple[int, bool], ...]
ROOT = Path(__file__).parents[1]


def formula(seed: int, variables: int, clauses: int) -> list[Clause]:
    """Random clauses of three different variables each."""
    chance = Random(seed)
    return [
        tuple((v, chance.random() < 0.5) for v in chance.sample(range(variables), 3)) for _ in range(clauses)
    ]  # fmt: skip


def satisfied(clauses: list[Clause], values: tuple[bool, ...]) -> bool:
    return all(any(values[v] == sign for v, sign in clause) for clause in clauses)


def by_force(variables: int, clauses: list[Clause]) -> bool:
    """Whether any of all assignments satisfies the formula."""
    return any(satisfied(clauses, values) for values in product((True, False), repeat=variables))


def by_z3(variables: int, clauses: list[Clause]) -> bool:
    """The same by a solver, for those too large to try all."""
    import z3

    names = [z3.Bool(f"x{v}") for v in range(variables)]
    solver = z3.Solver()
    for clause in clauses:
        solver.add(z3.Or([names[v] if sign else z3.Not(names[v]) for v, sign in clause]))
    return bool(solver.check() == z3.sat)


def machine(variables: int) -> str:
    return MACHINE + parts(2) + "".join(f'part q{i} "Variable {i}"\n' for i in range(variables))


def text(variables: int, clauses: list[Clause], last: str = "step remove p0 by fitter\n") -> str:
    """The formula as a procedure."""
    work = ['section "Work"', "step observe p1 by fitter"]
    for v in range(variables):
        work += [f"check x{v} on q{v} by fitter", '  accept "Whole."', '  reject "Broken."']
    for clause in clauses:
        for v, sign in clause:
            work += [f"when x{v} {'accepted' if sign else 'rejected'}", "step observe p1 by fitter", "otherwise"]
        work += ["stop here", *["end"] * len(clause)]
    return HEAD.replace('section "Work"\n', "") + "\n".join(work) + "\n" + last


def judged(variables: int, clauses: list[Clause]) -> Checked:
    return looked_at(Path("x.proc"), {"x.proc": text(variables, clauses), "m.equip": machine(variables)})


@pytest.mark.parametrize("variables", [3, 4, 5, 6, 7, 8])
def test_small_ones_are_decided_as_by_trying_all(variables: int) -> None:
    seen = set()
    for seed in range(10):
        clauses = formula(seed, variables, round(variables * (4.3 if variables > 4 else 7)))
        possible = by_force(variables, clauses)
        checked = judged(variables, clauses)
        found = rules(checked)
        assert not found["not-proved"], (variables, seed)
        assert checked.sound is not possible, (variables, seed, found)
        assert (found["left-out"] > 0) is possible
        seen.add(possible)
        if possible:
            assert checked.case is not None
            (fault,) = [f for f in checked.case.proof.faults if f.violation.rule == "left-out"]
            # the path is an assignment: what the checks gave satisfies the formula
            results = {
                fault.program.nodes[s.node].check: s.way == 0
                for s in fault.violation.path
                if fault.program.nodes[s.node].kind.name == "RESULT"
            }
            assert satisfied(clauses, tuple(results[f"x{v}"] for v in range(variables)))
    assert seen == {True, False}


@pytest.mark.parametrize("variables", [10, 12, 14, 16, 20, 30, 50])
def test_larger_ones_are_never_called_sound_wrongly(variables: int) -> None:
    for seed in range(2 if variables < 16 else 1):
        clauses = formula(seed, variables, round(variables * 5))
        start = time.process_time()
        checked = judged(variables, clauses)
        assert time.process_time() - start < 60
        found = rules(checked)
        if not found["not-proved"]:
            assert checked.sound is not by_z3(variables, clauses), (variables, seed)
        else:
            assert not checked.sound
            assert checked.errors


MEASURED = """
from pathlib import Path
from procforge.stages import BUDGET
from tests.test_hard_cases import formula, judged
checked = judged(60, formula(1, 60, 300))
assert not checked.sound
assert checked.case.proof.not_proved
assert checked.case.proof.work <= BUDGET
# of this program alone: getrusage would count what the test run held when it made this process
print(next(int(line.split()[1]) for line in Path("/proc/self/status").open() if line.startswith("VmHWM")) // 1024)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the figure is read from /proc")
def test_memory_has_a_bound_too() -> None:
    done = subprocess.run(
        [sys.executable, "-c", MEASURED], cwd=ROOT, capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) < 700, "megabytes at the most"


def test_more_work_for_the_proof_decides_more() -> None:
    """What is undecided is so for want of work, and says so; with enough of it the answer is brute force's."""
    from procforge.analysis.proof import prove, sound, variants_of

    clauses = formula(0, 10, 50)
    case = judged(10, clauses).case
    assert case is not None
    answers = {}
    for work in (100, 1_000, 10_000, 3_000_000):
        proof = prove(case.procedure, variants_of(case.procedure), work)
        assert proof.work <= work + 10
        assert not sound(proof)
        answers[work] = bool(proof.not_proved), bool(proof.faults)
    assert by_force(10, clauses)
    assert answers[100] == (True, False)
    assert answers[3_000_000] == (False, True)
