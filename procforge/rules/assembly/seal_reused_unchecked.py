"""A seal goes back unchecked.

A seal that may be used again goes back without an accepted check since it came out.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="seal-reused-unchecked",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:goes} back without an accepted check",
    label="fitted here",
    why="{state}",
    mend="check it and fit it only if accepted, or fit a new one",
    rank=50,
)
