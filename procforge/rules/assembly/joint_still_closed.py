"""A seal is handled in a closed joint.

A seal is fitted or taken out while the part over it is in place.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="joint-still-closed",
    family=ASSEMBLY,
    basis="common practice",
    message="a seal is handled while {about:is} in place",
    label="here",
    why="{state}",
    mend="remove the part first",
    rank=50,
)
