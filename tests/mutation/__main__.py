"""Mutation testing: `python -m tests.mutation --sample 200 --seed 1 --paths procforge/analysis procforge/rules`.

Prints the mutants that no test noticed and a table per folder. A mutant counts as killed when a test fails or the
program crashes; one that takes too long is counted apart and among the noticed. Which tests run for which file stands
in `trial.py`; the code as it is must pass them, or the run stops there. Needs a system with `fork`.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from tests.mutation.mutate import Mutant, mutants  # noqa: E402
from tests.mutation.trial import child, plan  # noqa: E402


def trials(
    work: Iterable[tuple[Mutant | None, str]], jobs: int, limit: float
) -> Iterator[tuple[Mutant | None, str, str]]:
    """Each mutant, its file and what became of it, as they end; at most `jobs` at once, `limit` seconds of computing each."""
    queue, running = iter(work), {}
    with tempfile.TemporaryDirectory() as folder:
        number = 0
        while True:
            while len(running) < jobs and (item := next(queue, None)):
                number += 1
                answer = Path(folder) / str(number)
                pid = os.fork()
                if not pid:
                    child(*item, answer, limit)
                running[pid] = (item, answer, time.monotonic())
            if not running:
                return
            time.sleep(0.05)
            for pid, (item, answer, began) in list(running.items()):
                late = (
                    time.monotonic() - began > 20 * limit
                )  # asleep, or starved by others; its own time has a limit too
                if late:
                    os.kill(pid, signal.SIGKILL)
                ended, status = os.waitpid(pid, 0 if late else os.WNOHANG)
                if ended:
                    late = late or (os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL))
                    del running[pid]
                    done = answer.read_text(encoding="utf-8") if answer.exists() else ""
                    yield *item, done or ("timed out" if late else "crash: process")


def table(results: Iterable[tuple[Mutant, str]]) -> str:
    """The shares per folder."""
    counts: Counter[tuple[str, str]] = Counter()
    for mutant, said in results:
        kind = said if said in ("survived", "timed out") else "killed"
        for folder in (mutant.folder, "all"):
            counts[folder, kind] += 1
    lines = ["| folder | mutants | killed | survived | timed out | noticed |", "|---|---:|---:|---:|---:|---:|"]
    for folder in sorted({f for f, _ in counts}, key=lambda f: (f == "all", f)):
        killed, survived, late = (counts[folder, k] for k in ("killed", "survived", "timed out"))
        total = killed + survived + late
        lines.append(f"| {folder} | {total} | {killed} | {survived} | {late} | {100 * (killed + late) / total:.0f} % |")
    return "\n".join(lines)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sample", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--paths", nargs="+", default=["procforge/analysis", "procforge/rules"])
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--limit", type=float, default=60.0, help="seconds of computing for one mutant")
    parser.add_argument("--minutes", type=float, default=600.0, help="begin no more mutants after this time")
    parser.add_argument("--without", default="", help="names of tests to leave out, as pytest's -k takes them")
    parser.add_argument("--unchecked", action="store_true", help="do not run the tests on the code as it is first")
    given = parser.parse_args()
    os.environ["MUTATION_WITHOUT"] = given.without
    places = [ROOT / p for p in given.paths]
    files = sorted({f for p in places for f in ([p] if p.is_file() else p.rglob("*.py")) if f.name != "__init__.py"})
    every = [m for f in files for m in mutants(ROOT, f)]
    chosen = random.Random(given.seed).sample(every, min(given.sample, len(every)))
    print(f"seed {given.seed}: {len(chosen)} of {len(every)} mutants of {len(files)} files", flush=True)
    plans = {str(plan(m.path)): m.path for m in chosen}
    kept = {path.rpartition("/")[0] if path.count("/") == 3 else path: path for path in plans.values()}
    for _, path, said in trials(
        [] if given.unchecked else [(None, p) for p in kept.values()], given.jobs, 4 * given.limit
    ):
        if said != "survived":
            print(f"the tests for {path} fail without a mutant: {said}")
            return 2
    end = time.monotonic() + 60 * given.minutes
    results: list[tuple[Mutant, str]] = []
    work = ((m, m.path) for m in chosen if time.monotonic() < end)
    for mutant, _, said in trials(work, given.jobs, given.limit):
        assert mutant
        results.append((mutant, said))
        if said in ("survived", "timed out"):
            print(f"{said}: {mutant.path}:{mutant.line}: {mutant.what}", flush=True)
    print(f"\n{table(results)}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
