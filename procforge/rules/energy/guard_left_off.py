"""A guard is left off.

A guard is off when a lock of its drive comes off, when the drive gets its energy back, when the machine starts,
or at the end. A guard that is left off on purpose, with the drive left locked, is said: `leaves belt-guard out`.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="guard-left-off",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(1)",
    message="{thing} is left off",
    label="here",
    why="{state}",
    mend="fit the guard before this step",
    rank=8,
)
