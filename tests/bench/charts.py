"""Goal 10: a flow of 2,000 symbols as charts that each fit a page, against the same flow as one graph.

The one graph goes through the same layout program (and the system's `dot`, if there is one) and comes out as SVG. Ours
is all there is to a book: cutting, layout, measuring, the overview, titles and keys.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

from procforge.analysis.machine import Machine
from procforge.analysis.proof import variants_of
from procforge.render.chart import LEAST_PT, laid_book, layout, pictures, print_scale, to_dot
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.depchart import dependency_chart
from procforge.sheet.flow import flow_chart
from tests.bench.material import write
from tests.bench.timing import median

STEPS = 2010  # of the procedure; its flow has 2,000 symbols


def goal_10(folder: Path) -> list[str]:
    """Charts by section against one graph."""
    path, _ = write(folder, STEPS)
    procedure = resolve(Library(), path).value
    variant = variants_of(procedure)[0]
    chart = flow_chart(procedure, variant)
    dot = to_dot(chart)
    jobs: dict[str, Callable[[], object]] = {
        "pages": lambda: pictures(laid_book(chart), "svg"),
        "one": lambda: layout(dot, "svg"),
    }
    if system := shutil.which("dot"):
        jobs["system"] = lambda: subprocess.run([system, "-Tsvg"], input=dot.encode(), capture_output=True, check=True)
    times = median(jobs, 5)
    drawn = pictures(laid_book(chart), "svg")
    least = min(print_scale(svg) for svg in drawn)
    machine = Machine(procedure.equipment, variant)
    needs = laid_book(dependency_chart(procedure, machine))
    least = min(least, *(print_scale(svg) for svg in pictures(needs, "svg")))
    other = f" ({times['pages'] / times['system']:.2f} x the system's `dot`)" if system else ""
    fit = f"every page {least:.1f} pt or more" if least >= LEAST_PT else f"the smallest page {least:.1f} pt"
    return [
        f"| 10 | flow of {len(chart.nodes):,} symbols as {len(drawn)} pages | {times['pages'] / times['one']:.2f} x one"
        f" graph{other}; {fit}, its {len(needs)} of dependencies too | 0.3 x; 7 pt |"
    ]
