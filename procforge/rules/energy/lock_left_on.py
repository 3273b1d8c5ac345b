"""A lock is left on.

On some path the job ends with a lock still on, and `leaves` does not say so. The finding stands where the lock
was put on. A way that ends at `stop here` keeps its locks and is not asked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="lock-left-on",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(3)",
    message="a lock is left on {thing}",
    label="here",
    why="{state}",
    mend="take the lock off, or say that the job leaves it: leaves … locked",
    rank=50,
)
