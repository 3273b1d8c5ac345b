"""A stored energy is not made safe.

A part that holds back a spring, a raised load or an accumulator is loosened while the energy is still stored.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="spring-not-relieved",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(5)",
    message="{about} is set free while it is still loaded",
    label="set free here",
    why="{state}",
    mend="relieve {about} (isolated and locked first, where it is fed) before this step",
    rank=7,
)
