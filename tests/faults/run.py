"""Seeds slips into procedures, has each judged twice, and counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from random import Random

from tests.faults import TESTS
from tests.faults.job import Job
from tests.faults.judge import Verdicts, verdicts
from tests.faults.operators import OPERATORS

PROCEDURES = sorted((TESTS.parent / "procedures").rglob("*.proc"))
#: What a row of the table counts.
COLUMNS = ("mutants", "faulty", "in order", "in duty", "caught", "missed", "false alarms")


@dataclass(frozen=True)
class Seeded:
    """One edited procedure: the operator, its number among the operator's texts, what both say."""

    path: Path
    operator: str
    number: int
    said: Verdicts

    @property
    def faulty(self) -> bool:
        """The simulator finds a fault, or a duty is broken."""
        return bool(self.said.fault or self.said.duties)

    @property
    def missed(self) -> bool:
        """Faulty, and called sound: no error printed, or faulty in order with a proof that stands."""
        return bool(self.faulty and not self.said.rules) or bool(self.said.fault and not self.said.proof_faults)

    @property
    def false_alarm(self) -> bool:
        """Sound, and an error printed; or a fault of the proof where the simulator has none."""
        return bool(not self.faulty and self.said.rules) or bool(self.said.proof_faults and not self.said.fault)


def texts(path: Path, operator: str, each: int) -> Iterator[tuple[int, str]]:
    """Up to `each` of the operator's texts for a procedure, drawn with a fixed seed; 0 for all."""
    job = Job(path.read_text(encoding="utf-8"))
    found = list(enumerate(dict.fromkeys(t for t in OPERATORS[operator](job) if t != job.text)))
    if each and len(found) > each:
        found = Random(f"{operator} {path.name}").sample(found, each)
    yield from found


def seed(task: tuple[Path, str, int]) -> list[Seeded]:
    """All texts of one procedure and operator, judged."""
    path, operator, each = task
    return [Seeded(path, operator, n, verdicts(path, text)) for n, text in texts(path, operator, each)]


def run(paths: Iterable[Path], each: int, workers: int = 1) -> list[Seeded]:
    """Every operator on every procedure."""
    tasks = [(path, name, each) for path in paths for name in OPERATORS]
    if workers == 1:
        return [s for task in tasks for s in seed(task)]
    with ProcessPoolExecutor(workers) as pool:
        return [s for found in pool.map(seed, tasks, chunksize=4) for s in found]


def counted(seeded: Iterable[Seeded]) -> dict[str, Counter[str]]:
    """The table's rows by operator."""
    rows: dict[str, Counter[str]] = {name: Counter() for name in OPERATORS}
    for s in seeded:
        rows[s.operator].update(
            {"mutants": 1, "faulty": s.faulty, "in order": bool(s.said.fault), "in duty": bool(s.said.duties),
             "caught": s.faulty and not s.missed, "missed": s.missed, "false alarms": s.false_alarm}
        )  # fmt: skip
    return rows


def table(rows: dict[str, Counter[str]]) -> str:
    """The table in Markdown, with a line of sums."""
    lines = ["| slip | " + " | ".join(COLUMNS) + " |", "| --- |" + " ---: |" * len(COLUMNS)]
    total: Counter[str] = Counter()
    for name, row in rows.items():
        total.update(row)
        lines.append(f"| {name} | " + " | ".join(str(row[c]) for c in COLUMNS) + " |")
    lines.append("| **all** | " + " | ".join(f"**{total[c]}**" for c in COLUMNS) + " |")
    return "\n".join(lines) + "\n"
