"""A spent seal is not renewed.

A single-use seal was disturbed, at the latest when its joint was eased, and the job ends without a new one.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="seal-not-renewed",
    family=ASSEMBLY,
    basis="ASME PCC-1 (from memory)",
    message="{thing:is} spent and not renewed",
    label="here",
    why="{state}",
    mend="fit a new one: fit … new",
    rank=50,
)
