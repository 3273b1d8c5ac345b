"""A used single-use part goes back.

A single-use part or fastener that was taken out is used again.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="spent-part-refitted",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:is} used and put back",
    label="here",
    why="it is meant for one use",
    mend="take a new one: … new",
    rank=50,
)
