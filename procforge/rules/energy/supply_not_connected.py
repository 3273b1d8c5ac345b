"""Test pressure from a supply that is not connected.

A step puts pressure on from a supply (`with`) that is not connected.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="supply-not-connected",
    family=ENERGY,
    basis="common practice",
    message="pressure is taken from {thing}, which is not connected",
    label="needed here",
    why="a supply gives pressure when it is coupled",
    mend="connect it before this step",
    rank=50,
)
