"""Locks off while a joint is not torqued.

Locks come off while a fastener of the boundary of a space they guard is not torqued. A blind in a part's stead
counts for the part.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="unlocked-untorqued",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(1)",
    message="locks come off while a joint of {about} is not torqued",
    label="unlocked here",
    why="{state}",
    mend="torque the joint before any lock comes off",
    rank=50,
)
