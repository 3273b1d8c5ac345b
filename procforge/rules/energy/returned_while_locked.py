"""A locked device is returned to service.

A device is turned back, in the position it has in service, while its lock is still on.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="returned-while-locked",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(3)",
    message="{about} is returned to service with its lock on",
    label="returned here",
    why="{state}",
    mend="let whoever put the lock on take it off first",
    rank=50,
)
