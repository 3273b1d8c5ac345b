"""A part goes in without its seal.

A part is fitted while a seal of its joint is not seated.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="seal-not-seated",
    family=ASSEMBLY,
    basis="common practice",
    message="the seal of the joint is missing: {thing}",
    label="fitted here",
    why="{state}",
    mend="fit the seal before the part",
    rank=50,
)
