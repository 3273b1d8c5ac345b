"""Locks off while a space is open.

Locks come off while a part of the boundary of a space they guard is out, with no blind in its stead, or a seal is
not seated.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="unlocked-while-open",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(1)",
    message="locks come off while {about} is open",
    label="unlocked here",
    why="{state}",
    mend="close the space before any lock comes off",
    rank=50,
)
