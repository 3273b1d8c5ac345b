"""Test pressure with the vent open.

Test pressure is put on a space whose vent stands open. It goes to the vent, and the joint is not tested.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="pressurised-with-vent-open",
    family=ENERGY,
    basis="common practice",
    message="{about} is pressurised with its vent open",
    label="pressurised here",
    why="{state}",
    mend="shut the vent before this step",
    rank=50,
)
