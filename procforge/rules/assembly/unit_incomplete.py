"""A unit goes back incomplete.

A unit is fitted while one of its inner parts is out.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="unit-incomplete",
    family=ASSEMBLY,
    basis="common practice",
    message="the unit goes back without {thing}",
    label="fitted here",
    why="{state}",
    mend="put the unit together first",
    rank=50,
)
