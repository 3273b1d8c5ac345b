"""Branches passed in one move: verdicts, lengths and paths stay those of the simulator, which takes every way.

The jobs are made for it: results read again and again, ways of unequal length, ways that stop, repeats and forks that
have nothing to do with the fault, and a few things that have.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from simulator.agreement import compare

from procforge.analysis.build import build_program
from procforge.analysis.machine import Machine
from procforge.analysis.program import Kind
from procforge.analysis.proof import variants_of
from procforge.analysis.regions import NEVER, TOP, Regions
from procforge.model.procedure import Procedure
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from tests.test_attack import HEAD, MACHINE, parts
from tests.vandal import FILES, reader

LOOKS = 4


def resolved(work: str) -> Procedure:
    machine = (
        MACHINE + parts(2) + "".join(f'part q{i} "Part {i}"\n  judged by look{i}\n  over p0\n' for i in range(LOOKS))
    )
    outcome = resolve(reader({"x.proc": HEAD + work, "m.equip": machine}), Path("x.proc"))
    assert not outcome.value.holes
    return outcome.value


class Job:
    """Work of a few checks, read where chance will have it."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)

    def text(self) -> str:
        return "\n".join(self.lines(2, self.chance.randint(4, 12))) + "\n"

    def lines(self, depth: int, count: int) -> Iterator[str]:
        for _ in range(count):
            yield from self.one(depth)

    def arm(self, depth: int) -> Iterator[str]:
        """A way of any length; it may stop, or do what the fault hangs on."""
        lot = self.chance.random()
        yield from ["step observe p1"] * self.chance.randint(0, 4)
        if lot < 0.12:
            yield "stop here"
        elif lot < 0.3:
            yield self.chance.choice(["step remove p0", "step fit p0", "step remove q0", "step fit q0"])
        elif lot < 0.5 and depth:
            yield from self.one(depth - 1)

    def one(self, depth: int) -> Iterator[str]:
        chance, n = self.chance, self.chance.randrange(LOOKS)
        lot = chance.random()
        if lot < 0.35:
            yield f"check look{n} on q{n}"
        elif lot < 0.7:
            yield f"when look{n} {chance.choice(['accepted', 'rejected'])}"
            yield from self.arm(depth)
            yield "otherwise"
            yield from self.arm(depth)
            yield "end"
        elif lot < 0.78:
            yield chance.choice(["step remove p0", "step fit p0", "step remove q0", "step fit q0"])
        elif lot < 0.84:
            yield 'ask "So?"\nyes'
            yield from self.arm(depth)
            yield "no"
            yield from self.arm(depth)
            yield "end"
        elif lot < 0.92:
            yield f"repeat until look{n} accepted, at most {chance.randint(1, 3)} times"
            if chance.random() < 0.7:
                yield f"check look{n} on q{n}"
            yield from self.arm(0)
            if chance.random() < 0.5:
                yield f"check look{n} on q{n}"
            yield "otherwise"
            yield from self.arm(0)
            yield "end"
        elif depth:
            yield chance.choice(["together", "any order"])
            first = list(self.arm(0)) or ["step observe p1"]
            yield from first
            if chance.random() < 0.5:
                yield f"check look{n} on q{n}"
            yield "end"


@pytest.mark.parametrize("first", range(0, 600, 50))
def test_nothing_changes_by_passing_branches_at_once(first: int) -> None:
    for seed in range(first, first + 50):
        procedure = resolved(Job(seed).text())
        verdict = compare(procedure, variants_of(procedure)[0])
        assert not verdict.differences, (seed, verdict.differences)


def lasting(read: tuple[int, ...], *, stops: bool = False) -> str:
    """A check, then readings of it: with 1 the accepted way is the longer one, with 0 the rejected one; then a fault."""
    work = "step remove p1\ncheck look0 on q0\n"
    for longer in read:
        long = "stop here\n" if stops else "step observe q1\n" * 3
        work += f"when look0 {'accepted' if longer else 'rejected'}\n{long}otherwise\nstep observe q1\nend\n"
    return work


@pytest.mark.parametrize(
    ("read", "length"),
    [((), 3), ((1,), 4), ((1, 1), 5), ((1, 0), 7), ((1, 0, 0), 8), ((0, 1, 1), 8), ((1, 0, 1, 0), 11)],
)
def test_a_result_read_again_costs_what_its_cheaper_side_costs(read: tuple[int, ...], length: int) -> None:
    """Counted by hand: remove, check, its outcome, and each reading 1 or 3 by the side of the same result."""
    procedure = resolved(lasting(read))
    verdict = compare(procedure, variants_of(procedure)[0])
    assert not verdict.differences
    assert {n for (rule, _, _), n in verdict.faults.items() if rule == "left-out"} == {length}


def test_no_result_gets_past_ways_that_stop_for_either() -> None:
    procedure = resolved(lasting((1, 0), stops=True))
    verdict = compare(procedure, variants_of(procedure)[0])
    assert not verdict.differences
    assert not [rule for rule, _, _ in verdict.faults if rule == "left-out"], "the end is not reached"


@pytest.mark.parametrize("path", [p for p in FILES if p.suffix == ".proc"], ids=lambda p: p.stem)
def test_every_branch_of_what_is_shipped_is_a_region(path: Path) -> None:
    procedure = resolve(Library(), path).value
    for variant in variants_of(procedure):
        program = build_program(procedure, Machine(procedure.equipment, variant))
        regions = Regions(program)
        assert all(kind == Kind.END for kind in (program.nodes[n].kind for n in regions.own[TOP]))
        for start, region in regions.at.items():
            join = program.nodes[region.join]
            assert (join.kind, join.micro, join.cost) == (Kind.OP, None, 0)
            inside = range(start, region.join)
            assert all(start < t <= region.join for n in inside for t in program.nodes[n].nexts if t > n)
            assert region.least < NEVER
