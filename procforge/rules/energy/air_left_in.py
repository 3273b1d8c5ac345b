"""Air is left in a space for flammable gas.

A space for something flammable was opened, and on some path the job ends with air in it. A purge after the last
opening takes the air out; a space that holds nothing flammable is never asked. The finding stands where the space
was opened. A job that ends so on purpose says it: `leaves vessel not air-free`.
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
