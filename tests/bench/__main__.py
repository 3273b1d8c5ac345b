"""Times goals and writes the table into README.md: `python -m tests.bench [goal ...] [--write]`; all without a number.

Medians of interleaved runs. BASE is `python -c pass`; PEER reads the same content as YAML with PyYAML's C loader and
validates it with jsonschema. The cyclic collector is set as the command line sets it (200_000, 20, 100).
"""

from __future__ import annotations

import gc
import json
import math
import os
import subprocess
import sys
import tempfile
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import jsonschema
import yaml

from procforge.analysis.build import build_program
from procforge.analysis.dense import Bits, Pass
from procforge.analysis.machine import Machine
from procforge.analysis.proof import prove, prove_program, variants_of
from procforge.analysis.search import Budget
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.syntax import fast
from procforge.syntax import parse as parsing
from procforge.syntax.parse import parse
from procforge.syntax.table import parser
from procforge.text import Source
from tests.bench.charts import goal_10
from tests.bench.document import goal_8, goal_9
from tests.bench.material import SCHEMA, procedure_rows, procedure_text, write, yaml_text
from tests.bench.proofs import goal_5_hard, goal_6, goal_7
from tests.bench.timing import median

ROOT = Path(__file__).parents[2]
BEGIN, END = "<!-- bench -->", "<!-- /bench -->"


def _parse(text: str) -> Callable[[], object]:
    source = Source.of("bench.proc", text)

    def job() -> object:
        parsing._statement.cache_clear()
        return parse(source)

    return job


def _peer(text: str) -> Callable[[], object]:
    validator = jsonschema.Draft202012Validator(SCHEMA)
    return lambda: list(validator.iter_errors(yaml.load(text, Loader=yaml.CSafeLoader)))


def _without_short_way(job: Callable[[], object]) -> Callable[[], object]:
    def run() -> object:
        kept = dict(fast._WAYS)
        fast._WAYS.clear()
        try:
            return job()
        finally:
            fast._WAYS.update(kept)

    return run


def goal_1() -> list[str]:
    """Text to typed nodes against the peer."""
    parser()
    rows = procedure_rows(1000)
    job = _parse(procedure_text(rows))
    times = median({"own": job, "grammar": _without_short_way(job), "peer": _peer(yaml_text(rows))})
    return [
        f"| 1 | 1,000 steps, text to typed nodes | {times['own'] / times['peer']:.2f} x PEER (grammar alone {times['grammar'] / times['peer']:.2f}) | 0.40; stretch 0.15 |"
    ]


def goal_2() -> list[str]:
    """Growth in time and memory."""
    small, large = procedure_text(procedure_rows(1000)), procedure_text(procedure_rows(10_000))
    times = median({"small": _parse(small), "large": _parse(large)})
    exponent = math.log10(times["large"] / times["small"])
    parsing._statement.cache_clear()
    source = Source.of("bench.proc", large)
    steps = large.count("\nstep ") + large.count("\ncheck ")
    tracemalloc.start()
    kept = parse(source)
    size = tracemalloc.get_traced_memory()[0]
    tracemalloc.stop()
    assert kept.value.items
    return [
        f"| 2 | growth 1k to 10k; memory | exponent {exponent:.2f}; {size / steps / 1024:.1f} KB a step | 1.05; 3 KB |"
    ]


def _process(*command: str) -> Callable[[], object]:
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {"PYTHONPATH": str(ROOT)}
    return lambda: subprocess.run([sys.executable, *command], capture_output=True, env=environment, check=False)


_PEER = """
import json, sys, yaml, jsonschema
data = yaml.load(open(sys.argv[1]), Loader=yaml.CSafeLoader)
schema = json.load(open(sys.argv[2]))
jsonschema.validate(data, schema)
print("ok")
"""


def goals_3_4(folder: Path) -> list[str]:
    """Start-up and a whole check as processes."""
    procedure, data = write(folder, 100)
    (folder / "schema.json").write_text(json.dumps(SCHEMA), encoding="utf-8")
    (folder / "peer.py").write_text(_PEER, encoding="utf-8")
    jobs = {
        "base": _process("-c", "pass"),
        "help": _process("-m", "procforge", "--help"),
        "peer": _process(str(folder / "peer.py"), str(data), str(folder / "schema.json")),
        "check": _process("-m", "procforge", "check", str(procedure), "--format", "short"),
    }
    for job in jobs.values():
        job()
    times = median(jobs, 9)
    return [
        f"| 3 | `--help` | {times['help'] / times['base']:.1f} x BASE | 6.5 |",
        f"| 4 | `check` of a 100-step file | {times['check'] / times['peer']:.2f} x PEER | 0.85; stretch 0.5 |",
    ]


def goal_5(folder: Path) -> list[str]:
    """The proof against reading, and its growth."""
    figures = {}
    for steps in (1000, 10_000):
        procedure, _ = write(folder, steps, joints=60)
        text = procedure.read_text(encoding="utf-8")
        resolved = resolve(Library(), procedure).value
        variants = variants_of(resolved)
        program = build_program(resolved, Machine(resolved.equipment, variants[0]))
        bits = Bits(shared=True)
        bits.learn(program)
        assert not prove(resolved, variants).faults
        assert not prove_program(program, Budget())[0]
        job = _parse(text)
        figures[steps] = median(
            {
                "pass": lambda program=program, bits=bits: Pass(program, bits).run(),
                "prove": lambda resolved=resolved, variants=variants: prove(resolved, variants),
                "nodes": job,
                "grammar": _without_short_way(job),
                "read": lambda procedure=procedure: (parsing._statement.cache_clear(), resolve(Library(), procedure)),
            },
            3,
        )
        facts = len(program.facts())
    small, large = figures[1000], figures[10_000]
    exponent = math.log10(large["pass"] / small["pass"])
    share = large["pass"] / large["grammar"]
    more = f"{large['pass'] / large['nodes']:.0%} of the short way's, {large['pass'] / large['read']:.0%} of reading text to model; building the graph included {large['prove'] / large['read']:.0%}"
    return [
        f"| 5 | proof of 10,000 steps, {facts} facts | {share:.0%} of the grammar's parse time ({more}); exponent {exponent:.2f} | 10 %; 1.15 |"
    ]


GOALS: dict[int, Callable[[Path], list[str]]] = {
    1: lambda _: goal_1(),
    2: lambda _: goal_2(),
    3: goals_3_4,
    5: lambda folder: goal_5(folder) + goal_5_hard(folder),
    6: goal_6,
    7: goal_7,
    8: goal_8,
    9: lambda _: goal_9(),
    10: goal_10,
}


def main() -> None:
    """Run the goals named, or all, and print the table; with --write put their rows into the README."""
    gc.set_threshold(200_000, 20, 100)
    asked = {int(word) for word in sys.argv[1:] if word.isdigit()}
    asked = {3 if goal == 4 else goal for goal in asked} or set(GOALS)
    rows: list[str] = []
    for goal in sorted(asked):
        with tempfile.TemporaryDirectory() as name:
            rows += GOALS[goal](Path(name))
    table = "\n".join(["| goal | what | measured | aim |", "| --- | --- | --- | --- |", *rows])
    print(table)
    if "--write" in sys.argv:
        readme = ROOT / "README.md"
        before, rest = readme.read_text(encoding="utf-8").split(BEGIN, 1)
        old, after = rest.split(END, 1)
        new = {_goal(row) for row in rows}
        kept = [line for line in old.strip().splitlines()[2:] if _goal(line) not in new]
        head = table.splitlines()[:2]
        whole = "\n".join([*head, *sorted([*kept, *rows], key=_goal)])
        readme.write_text(f"{before}{BEGIN}\n{whole}\n{END}{after}", encoding="utf-8")


def _goal(row: str) -> int:
    return int(row.split("|")[1])


if __name__ == "__main__":
    main()
