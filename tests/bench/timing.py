"""Medians of interleaved runs."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable

RUNS = 5


def median(jobs: dict[str, Callable[[], object]], runs: int = RUNS) -> dict[str, float]:
    """Seconds of each job, medians of interleaved runs."""
    times: dict[str, list[float]] = {name: [] for name in jobs}
    for _ in range(runs):
        for name, job in jobs.items():
            gc.collect()
            start = time.perf_counter()
            job()
            times[name].append(time.perf_counter() - start)
    return {name: statistics.median(values) for name, values in times.items()}
