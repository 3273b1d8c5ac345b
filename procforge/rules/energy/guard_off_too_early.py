"""A guard comes off before the motion is safe.

A guard is handled while the motion behind it is not isolated, locked and proved.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="guard-off-too-early",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(3)-(6)",
    message="a guard is handled while {about} can still move",
    label="here",
    why="{state}",
    mend="isolate, lock and prove {about} before this step",
    rank=8,
)
