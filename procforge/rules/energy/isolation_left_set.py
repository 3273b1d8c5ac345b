"""An isolating device is left set.

On some path the job ends with an isolator out of the position it has in service, and `leaves` does not say so.
The finding stands where it was set. Vents, bleeds and root valves have a rule of their own, vent-left-open.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="isolation-left-set",
    family=ENERGY,
    basis="common practice",
    message="{thing} is left out of its service position",
    label="here",
    why="{state}",
    mend="return it, or say that the job leaves it: leaves … isolated",
    rank=50,
)
