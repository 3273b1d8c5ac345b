"""Test pressure on an open space.

Test pressure is put on a space that is not closed: a part of its boundary is out and no blind stands in for it,
or a seal is not seated.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="pressurised-while-open",
    family=ENERGY,
    basis="common practice",
    message="{about} is pressurised while it is open",
    label="pressurised here",
    why="{state}",
    mend="close the space before this step",
    rank=5,
)
