"""Purged while it is fed.

A space is purged while a feed into it is open: the purge gas mixes with what comes in, or goes up the feed. A
coupled test supply is a feed too; purge gas that a step takes as a consumable (`with nitrogen`) is none.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="purged-while-fed",
    family=ENERGY,
    basis="common practice",
    message="{about} is purged while a feed into it is open",
    label="purged here",
    why="{state}",
    mend="isolate every feed before this step",
    rank=50,
)
