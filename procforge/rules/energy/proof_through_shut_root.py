"""Proved through a shut root valve.

The gauge of a proof stands behind a root valve that is shut: the gauge reads what was trapped in its own line.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="proof-through-shut-root",
    family=ENERGY,
    basis="common practice",
    message="the proof is read behind {thing}, which is shut",
    label="read here",
    why="a gauge behind a shut root reads its own line, not the space",
    mend="open the root valve before the proof",
    rank=50,
)
