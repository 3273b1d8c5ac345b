"""A used single-use seal goes back.

A single-use seal that was disturbed is fitted again.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="spent-seal-refitted",
    family=ASSEMBLY,
    basis="ASME PCC-1 (from memory)",
    message="{about:is} used and put back",
    label="fitted here",
    why="a single-use seal does not seal twice",
    mend="fit a new one: fit … new",
    rank=50,
)
