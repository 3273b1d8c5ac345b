"""A stored energy is not made safe.

A part that holds back a spring, a raised load or an accumulator is loosened while the energy is still stored, or the
pressure that holds it back (`holds back` at the space) is let down. It
must be relieved, isolated and locked first where something feeds it, blocked where the machine file names what
blocks it, and proved where it says how (`proved by`).
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="spring-not-relieved",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(5)",
    message="{about} is set free before it is made safe",
    label="set free here",
    why="{state}",
    mend="relieve {about} before this step: isolated and locked first where it is fed, proved where the machine file says how",
    rank=7,
)
