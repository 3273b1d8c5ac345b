"""Fed again before the joint is torqued.

A feed is opened into a space with a fastener of its boundary that is not torqued. A blind in a part's stead
counts for the part.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="returned-untorqued",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(1)",
    message="{about} is fed again before its joints are torqued",
    label="fed here",
    why="{state}",
    mend="torque every joint before this step",
    rank=4,
)
