"""Energy lent back and not isolated again.

After a temporary return of energy a device whose lock came off is not set and locked again when the block ends.
What was proved before it is stale: prove again before anything is opened.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="lent-back-not-isolated",
    family=ENERGY,
    basis="29 CFR 1910.147(f)(1)(v)",
    message="{about} is not isolated and locked again after the energy was lent back",
    label="lent back here",
    why="{state}",
    mend="set and lock it again before `end`, and prove again before the next opening",
    rank=50,
)
