"""The job stops with a device set and not locked.

At `stop here` or `may stop here` a device is out of the position it had at the start, and no lock holds it there.
Locked, or put back, is both sound.
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
