"""A part is handled with its fasteners on.

A part is removed or fitted while a fastener that holds it is on.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="fasteners-still-on",
    family=ASSEMBLY,
    basis="common practice",
    message="{thing} must come off first",
    label="here",
    why="{state}",
    mend="remove the fastener before this step",
    rank=50,
)
