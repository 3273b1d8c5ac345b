"""The job stops with a device set and not locked.

At a stop a device is in its isolating position without a lock.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="stopped-unlocked",
    family=ENERGY,
    basis="29 CFR 1910.147(f)(4)",
    message="the job stops with {about} set and not locked",
    label="stops here",
    why="{state}: nothing holds it there when the crew has left",
    mend="lock it before stopping",
    rank=50,
)
