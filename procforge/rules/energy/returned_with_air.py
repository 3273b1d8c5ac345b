"""Gas let in on air.

Flammable gas is let into a space that still holds air from the opening. A purge after the space is closed takes
it out. A space that holds nothing flammable is never asked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="returned-with-air",
    family=ENERGY,
    basis="common practice",
    message="{about} is gassed up with air in it",
    label="fed here",
    why="gas on air passes through the range that burns",
    mend="purge {about} after it is closed and before this step",
    rank=50,
)
