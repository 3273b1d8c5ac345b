"""Proved before the isolation is locked.

Zero is read, or a start tried, before every isolating device is locked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="proved-before-locked",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(4)-(6)",
    message="{about} is proved before its isolation is locked",
    label="proved here",
    why="{state}: what was proved can be undone by a turn of the hand",
    mend="lock every isolating device before the proof",
    rank=50,
)
