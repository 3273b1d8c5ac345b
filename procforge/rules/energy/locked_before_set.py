"""Locked before it is set.

A lock is put on a device that is not in its isolating position: it then holds the feed open. A bleed between two
blocks isolates when it is open, so it is opened, and locked open, like the blocks are shut and locked shut.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="locked-before-set",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(4)",
    message="{about} is locked before it is set to isolate",
    label="locked here",
    why="a lock holds a device where it is",
    mend="set {about} before locking it",
    rank=50,
)
