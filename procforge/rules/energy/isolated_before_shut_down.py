"""Isolated before the machine is shut down.

A running machine is isolated from its drive before it was shut down in the orderly way.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="isolated-before-shut-down",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(2)-(3)",
    message="the machine is isolated before it is shut down",
    label="isolated here",
    why="cutting a running machine off can damage it or leave it where it can move",
    mend="shut the machine down before this step",
    rank=50,
)
