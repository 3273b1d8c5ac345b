"""Proved on an open vent.

A proof is read with the vent shut. While the vent stands open the gauge reads zero even if a valve leaks into the
space. The bleed between two blocks is no vent of the space and stays open.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="proof-on-open-vent",
    family=ENERGY,
    basis="common practice",
    message="{about} is proved while its vent stands open",
    label="proved here",
    why="an open vent hides a leak into the space",
    mend="shut the vent before the proof",
    rank=50,
)
