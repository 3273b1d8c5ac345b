"""Fitted before what lies under it.

A part, guard, fastener or seal is fitted while something that belongs under it is out.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="fitted-before-underlying",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:is} missing under it",
    label="fitted here",
    why="{state}",
    mend="fit what lies under it first",
    rank=50,
)
