"""Fed again while it is open.

A feed is opened into a space that is not closed: a part of its boundary is out and no blind stands in for it, or
a seal is not seated.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="returned-while-open",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(1)",
    message="{about} is fed again while it is open",
    label="fed here",
    why="{state}",
    mend="close the space before this step",
    rank=3,
)
