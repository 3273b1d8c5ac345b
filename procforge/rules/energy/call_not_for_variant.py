"""A called procedure is not for this variant.

A procedure is called on a variant that its `applies to` leaves out. Put the call into an `only for` block, or let
the called procedure apply to the variant and check it.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="call-not-for-variant",
    family=ENERGY,
    basis="common practice",
    message="the called procedure is not for this variant",
    label="called here",
    why="nobody has proved it for this variant",
    mend="call it only for the variants it applies to",
    rank=50,
)
