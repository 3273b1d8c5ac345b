"""Removed while something lies over it.

An item is taken out while another that lies over it is still in place.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="removed-under-another",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:is} taken out from under {thing}",
    label="taken out here",
    why="{state}",
    mend="take out what lies over it first",
    rank=50,
)
