"""Fastened before the part is in.

A fastener is fitted or tightened while the part it holds is out.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="part-not-in-place",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:is} not in place when it is fastened",
    label="here",
    why="{state}",
    mend="fit the part first",
    rank=50,
)
