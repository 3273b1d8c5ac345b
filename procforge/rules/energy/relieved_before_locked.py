"""Relieved before the isolation is locked.

A space is vented or drained, or a stored energy relieved, before its isolating devices are locked. The standard
wants locks on first: an unlocked valve can be opened while the vent stands open. A spring that nothing feeds has
no lock to wait for.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="relieved-before-locked",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(4)-(5)",
    message="{about} is relieved before its isolation is locked",
    label="relieved here",
    why="{state}: locks come before relieving",
    mend="lock every isolating device before this step",
    rank=50,
)
