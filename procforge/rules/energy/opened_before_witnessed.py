"""Opened before the proof is witnessed.

The machine file demands a witness (`opening witnessed`), and on some way to this opening nobody saw the proof, or
the proof was made anew after the witness had gone. A `hold`, `witness` or `review` that `sees` the space is a
witness.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="opened-before-witnessed",
    family=ENERGY,
    basis="common practice",
    message="{about} is opened before its proof is witnessed",
    label="opened here",
    why="the machine file demands that another person sees the proof",
    mend="put a hold that `sees` {about} after the proof and before this step",
    rank=6,
)
