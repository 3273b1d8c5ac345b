"""A new seal on an old one.

A seal is fitted where one is seated already: the joint was not opened since, or the seal was fitted before.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="new-seal-on-old",
    family=ASSEMBLY,
    basis="ASME PCC-1 (from memory)",
    message="{about:is} fitted on one that is seated already",
    label="fitted here",
    why="two seals in one groove leak",
    mend="take the step out, or open the joint first",
    rank=50,
)
