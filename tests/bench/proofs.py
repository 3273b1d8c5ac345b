"""Goals 5 to 7 for jobs that are hard on the proof: faulty, long, read again later, of many models; against z3 and clingo."""

from __future__ import annotations

import math
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from procforge.analysis.proof import Proof, prove, variants_of
from procforge.analysis.regions import Regions
from procforge.analysis.search import Budget, Search
from procforge.model.procedure import Procedure
from tests.bench.material import procedure_rows
from tests.bench.peers import Question, by_clingo, by_z3, by_z3_optimize
from tests.bench.scaling import faulty_rows, made, model_rows, reread_rows
from tests.bench.timing import median

LASTING, BEFORE = 16, 20  # branches read again later, joints overhauled before them


def _proves(procedure: Procedure) -> Callable[[], Proof]:
    variants = variants_of(procedure)
    return lambda: prove(procedure, variants)


def _exponent(small: float, large: float, times: float) -> float:
    return math.log(large / small) / math.log(times)


def goal_5_hard(folder: Path) -> list[str]:
    """Growth where steps were forgotten, and with results read again later; memory."""
    steps, checks = (1000, 10_000), (10, 20, 80)
    faulty = {n: made(folder / f"f{n}", faulty_rows(n, 60, 7), 60) for n in steps}
    again = {n: made(folder / f"r{n}", reread_rows(n), n) for n in checks}
    jobs: dict[str, Callable[[], object]] = {
        **{f"faulty {n}": _proves(p) for n, p in faulty.items()},
        **{f"again {n}": _proves(p) for n, p in again.items()},
    }
    told = {n: len(prove(p, variants_of(p)).faults) for n, p in faulty.items()}
    assert all(not (proof := prove(p, variants_of(p))).faults and not proof.not_proved for p in again.values())
    times = median(jobs, 5)
    tracemalloc.start()
    prove(faulty[10_000], variants_of(faulty[10_000]))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return [
        f"| 5 | the same with a step forgotten in every seventh joint ({told[1000]} and {told[10_000]} faults told) |"
        f" exponent {_exponent(times['faulty 1000'], times['faulty 10000'], 10):.2f} from 1,000 to 10,000 steps;"
        f" {peak / 1e6:.0f} MB at the most | 1.15 |",
        f"| 5 | {checks[-1]} results read again much later | exponent"
        f" {_exponent(times['again 10'], times['again 80'], 8):.2f} from 10 results,"
        f" {_exponent(times['again 20'], times['again 80'], 4):.2f} from 20 | 1.15 |",
    ]


def _forgotten(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Without the last tightening."""
    at = max(n for n, row in enumerate(rows) if row.get("step") == "tighten")
    return rows[:at] + rows[at + 1 :]


def goal_6(folder: Path) -> list[str]:
    """All shortest counter-examples of a job from its graph, by our search and by both peers; what branches cost."""
    joints = LASTING + BEFORE
    lasting = made(folder / "lasting", _forgotten(reread_rows(LASTING, True, BEFORE)), joints)
    none = made(folder / "none", list(_straight(_forgotten(reread_rows(LASTING, True, BEFORE)))), joints)
    at_once = made(folder / "once", _forgotten(reread_rows(LASTING, False, BEFORE)), joints)
    proof = prove(lasting, variants_of(lasting))
    (program,) = {id(p): p for _, p in proof.programs}.values()
    violations = [f.violation for f in proof.faults]
    cones = [(v.rule, tuple(sorted({f for way in v.must.formula for f, _ in way}))) for v in violations]

    def ours() -> list[int]:
        program.__dict__.pop("touching", None)
        regions = Regions(program)
        found = [Search(program, rule, cone, Budget(), regions).run() for rule, cone in cones]
        return [v.length for one in found for v in one]

    def peer(solve: Callable[[Question], int]) -> Callable[[], list[int]]:
        return lambda: [solve(Question(program, v)) for v in violations]

    def shortest(procedure: Procedure) -> Callable[[], object]:
        (_, graph), *_ = prove(procedure, variants_of(procedure)).programs
        regions = Regions(graph)
        return lambda: [Search(graph, rule, cone, Budget(), regions).run() for rule, cone in cones]

    jobs: dict[str, Callable[[], object]] = {
        "ours": ours,
        "z3": peer(by_z3),
        "z3 least": peer(by_z3_optimize),
        "clingo": peer(by_clingo),
        "lasting": shortest(lasting),
        "none": shortest(none),
        "at once": shortest(at_once),
        "proof lasting": _proves(lasting),
        "proof none": _proves(none),
        "proof at once": _proves(at_once),
    }
    lengths = sorted(v.length for v in violations)
    assert all(sorted(jobs[name]()) == lengths for name in ("ours", "z3", "z3 least", "clingo"))  # type: ignore[call-overload]
    times = median(jobs, 15)
    ours_ = times["ours"]
    return [
        f"| 6 | {len(lengths)} shortest counter-examples among {len(program.nodes)} nodes, from the graph |"
        f" {times['z3'] / ours_:.0f} x faster than z3 asked for less and less, {times['z3 least'] / ours_:.0f} x than z3"
        f" minimising, {times['clingo'] / ours_:.1f} x than clingo | 20 x |",
        f"| 6 | {LASTING} branches on results that last | the search {times['lasting'] / times['at once']:.2f} x that with the"
        f" same branches read at once, {times['lasting'] / times['none']:.2f} x that of the straight job; the proof"
        f" {times['proof lasting'] / times['proof at once']:.2f} x and"
        f" {times['proof lasting'] / times['proof none']:.2f} x | 1.2 x |",
    ]


def _straight(rows: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """The same job in which no result that lasts is read: what an accepted one leads to is done in any case."""
    late = {f"leak-{n}" for n in range(BEFORE, BEFORE + LASTING)}
    for row in rows:
        yield from row["otherwise"] if row.get("when") in late else (row,)


def goal_7(folder: Path) -> list[str]:
    """Many models against one."""
    steps, joints = 1000, 60
    one = made(folder / "one", model_rows(1, steps, joints), joints, 1)
    alike = made(folder / "alike", procedure_rows(steps, joints), joints, 64)
    apart = made(folder / "apart", model_rows(64, steps, joints), joints, 64)
    times = median({"one": _proves(one), "alike": _proves(alike), "apart": _proves(apart)}, 5)
    return [
        f"| 7 | 64 models, proof of {steps:,} steps | no two alike {times['apart'] / times['one']:.1f} x one model; all alike"
        f" {times['alike'] / times['one']:.1f} x | 10 x |"
    ]
