"""Opened before the isolation is locked.

A space is opened while an isolating device that feeds it is not locked. Anyone can turn an unlocked valve back. A
fitted spade needs no lock. Locks that are handed to the next shift stay on.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="opened-before-locked",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(4)",
    message="{about} is opened while its isolation is not locked",
    label="opened here",
    why="{state}: an unlocked device can be turned back by anyone",
    mend="lock {thing} after it is set and before this step",
    rank=2,
)
