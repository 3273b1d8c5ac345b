"""Isolated before the machine is shut down.

The breaker or valve of a drive is set while the machine may still run. Shutting down comes first. Only drives are
asked: a vessel has nothing to shut down, and a job that `starts` with the machine stopped need not stop it again.
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
