"""A called procedure starts from another state.

A called procedure is proved once, from the state its `starts` names (in service, complete and tight where it says
nothing). A caller that comes to it in another state has no proof of what happens there. Every fact that the
called procedure needs, sets or compares at its end is held against its start.
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
