"""Air is left in a space for flammable gas.

A space for flammable gas was opened and the job ends with air in it.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="air-left-in",
    family=ENERGY,
    basis="common practice",
    message="air is left in {thing}",
    label="here",
    why="{state}",
    mend="purge it after it is closed, or say so in `leaves`",
    rank=50,
)
