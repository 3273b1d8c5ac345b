"""A test supply is left connected.

A test supply is still connected when a space it reaches is fed again, at a stop, or at the end. At a stop its valve
may be locked instead.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="supply-left-connected",
    family=ENERGY,
    basis="common practice",
    message="{thing} is left connected",
    label="here",
    why="a coupled supply is a feed nobody has isolated",
    mend="disconnect it before this step",
    rank=50,
)
