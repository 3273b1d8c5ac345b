"""A vent or bleed is left open.

On some path the job ends with a vent, bleed or root valve out of the position it has in service, and `leaves`
does not say so. The finding stands where it was moved.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="vent-left-open",
    family=ENERGY,
    basis="common practice",
    message="{thing} is left out of its service position",
    label="here",
    why="{state}",
    mend="return it to its service position, or say so in `leaves`",
    rank=50,
)
