"""`python -m tests.faults [--each N] [--workers N] [PROCEDURE …]`: the table of seeded faults."""

from __future__ import annotations

import argparse
import time
from pathlib import Path

from tests.faults.run import PROCEDURES, counted, run, table

TABLE = Path(__file__).with_name("table.md")
HEAD = """\
# Seeded faults

Written by `python -m tests.faults --each {each}` on {count} shipped procedures. Each slip is seeded into each procedure,
{drawn}, one at a time. *Faulty*: the simulator typed from grammar/semantics.md finds a path on which it
breaks something (in order), or a duty typed by hand in `tests/faults/duties.py` is broken (in duty). *Caught*: faulty,
and the validator prints an error. *Missed*: faulty, and it prints none, or its proof stands where the simulator has a
fault. *False alarm*: sound, and it prints an error, or its proof has a fault where the simulator has none.

"""


def main() -> int:
    """Seeds, prints, writes; exit code 1 where the two disagree."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.faults", description="Slips seeded into procedures, judged twice."
    )
    parser.add_argument("paths", nargs="*", type=Path, help="procedures; all shipped ones if none is given")
    parser.add_argument(
        "--each", type=int, default=0, help="at most so many texts of a slip and a procedure; 0 for all"
    )
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    paths = given.paths or PROCEDURES
    began = time.monotonic()
    seeded = run(paths, given.each, given.workers)
    text = table(counted(seeded))
    print(text)
    wrong = [s for s in seeded if s.missed or s.false_alarm]
    for s in wrong:
        print(f"{'missed' if s.missed else 'false alarm'}: {s.path.name}, {s.operator}, text {s.number}: {s.said}")
    print(f"{len(seeded)} texts in {time.monotonic() - began:.0f} s, {len(wrong)} on which the two disagree")
    if not given.paths:
        drawn = f"at most {given.each} of its texts" if given.each else "all of its texts"
        head = HEAD.format(each=given.each, count=len(paths), drawn=drawn)
        TABLE.write_text(head + text, encoding="utf-8", newline="\n")
    return bool(wrong)


if __name__ == "__main__":
    raise SystemExit(main())
