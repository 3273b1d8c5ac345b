"""A guard comes off before the motion is safe.

A guard is taken off or put back while the motion behind it is not isolated, locked and proved by trying to start
it, while gas that can turn it is not proved, or while an item that blocks it is out. A guard goes back before the
locks come off.
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
    mend="isolate and lock {about}, prove it by trying to start it, prove what else can turn it and fit what blocks it, before this step",
    rank=8,
)
