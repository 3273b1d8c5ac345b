"""Purged while it is fed.

A space is purged while a feed into it is open: the purge gas mixes with what comes in, or goes up the feed.
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
