"""Test pressure from a supply that is not connected.

The step takes pressure from a supply that is not connected.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="supply-not-connected",
    family=ENERGY,
    basis="common practice",
    message="the supply {thing} is not connected",
    label="needed here",
    why="{state}",
    mend="connect it before this step",
    rank=50,
)
