"""Closed without a last look.

A part of the boundary goes back and nobody looked into the space for loose objects since it came out.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="no-last-look",
    family=ASSEMBLY,
    basis="common practice",
    message="the space is closed without a last look",
    label="closed here",
    why="a forgotten tool or rag starts up with the machine",
    mend="look into the space just before it is closed: look-into …",
    rank=50,
)
