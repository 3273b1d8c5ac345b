"""A space is left untested.

A space was opened and the job ends without a leak test of it.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="left-untested",
    family=ENERGY,
    basis="common practice",
    message="{thing} is left without a leak test",
    label="here",
    why="{state}",
    mend="leak-test it after the last joint is torqued, or say so in `leaves`",
    rank=50,
)
