"""Hands near a motion that is not made safe.

A step puts hands near a motion: it loosens, takes out, fits, tightens, lifts or aligns an item that is `near` it.
The motion must be isolated, locked and proved by trying to start it, gas that can turn it proved, and what blocks
it fitted. `guards` of the motion have a rule of their own, guard-off-too-early.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="motion-not-made-safe",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(3)-(6)",
    message="hands are near {about} while it can still move",
    label="hands near it here",
    why="{state}",
    mend="isolate and lock {about}, and try to start it, before this step",
    rank=7,
)
