"""Proved through a shut root valve.

The gauge stands behind a root valve that is shut at the proof: it reads what was trapped in its line.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="proof-through-shut-root",
    family=ENERGY,
    basis="common practice",
    message="the proof is read behind a shut root valve",
    label="read here",
    why="a gauge behind a shut root reads its own line, not the space",
    mend="open the root valve before the proof",
    rank=50,
)
