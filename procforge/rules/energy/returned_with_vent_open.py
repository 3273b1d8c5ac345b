"""Fed again with the vent open.

A feed is opened into a space while one of its vents stands open.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="returned-with-vent-open",
    family=ENERGY,
    basis="common practice",
    message="{about} is fed again with its vent open",
    label="fed here",
    why="{state}",
    mend="shut the vent before this step",
    rank=50,
)
