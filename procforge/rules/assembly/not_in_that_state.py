"""Not in the state the verb needs.

A step acts on an item that is not in the state the verb needs on some path: removed twice, fitted twice,
unlocked when it is not locked, nipped up when it was not eased.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="not-in-that-state",
    family=ASSEMBLY,
    basis="common practice",
    message="`{verb}` does not fit here: {state}",
    label="here",
    why="a step that finds the item otherwise than it expects is skipped or made up on the spot",
    mend="take the step out, or put it where the item is in that state",
    rank=50,
)
