"""Purged with the vent shut.

Purge gas needs a way out. With the vent shut it only raises the pressure and thins the gas. One open vent of the
space is enough; a space for which the machine names no vent cannot be purged.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="purged-with-vent-shut",
    family=ENERGY,
    basis="common practice",
    message="{about} is purged with its vent shut",
    label="purged here",
    why="purge gas with no way out raises the pressure",
    mend="open the vent before this step; if the machine names none, say there what it is vented by",
    rank=50,
)
