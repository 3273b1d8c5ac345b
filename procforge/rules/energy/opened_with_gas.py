"""Opened with flammable or toxic gas in it.

A space that holds flammable or toxic gas is opened before it was purged, or after it was fed again. Other
contents are never asked. Where a site allows it, the machine file says so: `opening without purge "reason"`.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="opened-with-gas",
    family=ENERGY,
    basis="common practice",
    message="{about} is opened with gas still in it",
    label="opened here",
    why="no pressure is not no gas: what is left comes out and can burn or poison",
    mend="purge {about} through its vent before this step, then prove it again",
    rank=5,
)
