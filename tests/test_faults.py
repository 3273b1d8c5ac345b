"""Slips seeded into the shipped procedures: the validator agrees with the simulator on each; a sample of the table.

The whole table is `python -m tests.faults` (see `tests/faults/table.md`). Slips: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.faults import judge
from tests.faults.judge import Verdicts
from tests.faults.operators import OPERATORS
from tests.faults.run import COLUMNS, PROCEDURES, Seeded, counted, run, seed, table

EACH = 1


def test_a_sample_of_every_slip_is_judged_alike() -> None:
    seeded = run(PROCEDURES, EACH, 2)
    wrong = [s for s in seeded if s.missed or s.false_alarm]
    assert not wrong, "\n".join(f"{s.path.name}, {s.operator}, text {s.number}: {s.said}" for s in wrong)
    rows = counted(seeded)
    assert len(rows) >= 25 and all(row["mutants"] for row in rows.values())
    faulty = sum(s.faulty for s in seeded)
    assert min(faulty, len(seeded) - faulty) >= len(seeded) // 5
    assert sum(bool(row["faulty"]) for row in rows.values()) >= 25


def test_the_table_has_no_miss_and_no_false_alarm() -> None:
    """The table as it was last written, of all slips there are now."""
    lines = (Path(__file__).parent / "faults" / "table.md").read_text(encoding="utf-8").splitlines()
    rows = [[c.strip(" *") for c in line.strip("|").split("|")] for line in lines if line.startswith("|")]
    assert rows[0] == ["slip", *COLUMNS]
    assert {r[0] for r in rows[2:-1]} == set(OPERATORS)
    assert [r[-2:] for r in rows[2:]] == [["0", "0"]] * (len(OPERATORS) + 1)
    assert int(rows[-1][1]) >= 1000


@pytest.mark.parametrize(
    ("said", "missed", "alarm"),
    [
        (Verdicts("a fault", (), ("left-out",), ("left-out",), ()), False, False),
        (Verdicts("a fault", (), (), ("left-out",), ("left-out",)), True, False),
        (Verdicts("a fault", (), ("a-rule",), (), ()), True, False),
        (Verdicts("", ("no bound",), (), (), ()), True, False),
        (Verdicts("", (), (), ("left-out",), ("left-out",)), False, True),
        (Verdicts("", ("no bound",), ("a-rule",), ("repeat-without-bound", "left-out"), ()), False, True),
        (Verdicts("", (), (), (), ()), False, False),
    ],
)
def test_what_counts_as_missed_and_as_false_alarm(said: Verdicts, missed: bool, alarm: bool) -> None:
    seeded = Seeded(PROCEDURES[0], "step left out", 0, said)
    assert (seeded.missed, seeded.false_alarm) == (missed, alarm)
    assert "| step left out | 1 |" in table(counted([seeded]))


def test_the_comparison_can_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    """A simulator that finds nothing makes false alarms of what the validator catches."""
    path = next(p for p in PROCEDURES if p.name == "flange-gasket.proc")
    assert not any(s.false_alarm for s in seed((path, "vent left out", 2)))
    monkeypatch.setattr(judge, "first_fault", lambda _: "")
    assert any(s.false_alarm for s in seed((path, "vent left out", 2)))
