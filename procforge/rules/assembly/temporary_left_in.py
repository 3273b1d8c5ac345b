"""A temporary item is left in.

A spade, blind, gag, clip or hose that was fitted for the job is still in when the machine starts, or at the
end.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="temporary-left-in",
    family=ASSEMBLY,
    basis="common practice",
    message="{thing:is} left in",
    label="here",
    why="{state}",
    mend="remove it before this step",
    rank=50,
)
