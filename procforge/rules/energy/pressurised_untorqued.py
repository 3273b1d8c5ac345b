"""Test pressure on an untorqued joint.

Test pressure is put on a space whose fasteners are not torqued. Hand-tight is not torqued; a fastener that the
machine file calls `hand-tight` is torqued when it is tightened by hand. A blind in a part's stead counts for the
part.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="pressurised-untorqued",
    family=ENERGY,
    basis="common practice",
    message="{about} is pressurised before its joints are torqued",
    label="pressurised here",
    why="{state}: a slack joint blows out or leaks",
    mend="torque every joint of {about} before this step",
    rank=5,
)
