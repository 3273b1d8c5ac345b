"""A called procedure starts from another state.

A procedure is called in a state that it does not start from: its own proof does not cover this call.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="call-contract-not-met",
    family=ENERGY,
    basis="common practice",
    message="the called procedure does not start from this state",
    label="called here",
    why="{state}",
    mend="bring the machine into that state first, or say it in the called procedure: starts …",
    rank=50,
)
