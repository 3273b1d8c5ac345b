"""Opened before it is relieved.

A space is opened that was not vented since it was isolated, or that a feed, a valve worked again or test pressure
can have filled since. Isolating does not let the pressure out.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="opened-before-relieved",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(5)",
    message="{about} is opened under pressure",
    label="opened here",
    why="isolating keeps new pressure out; it does not let the old pressure out",
    mend="vent {about} after it is isolated and locked",
    rank=3,
)
