"""Seeded faults: slips put into shipped procedures one at a time, judged by the simulator and by the validator.

`python -m tests.faults` seeds them, prints the table and writes it to `tests/faults/table.md`.
"""

from __future__ import annotations

import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
if str(TESTS) not in sys.path:  # the simulator is imported as the tests do
    sys.path.append(str(TESTS))
