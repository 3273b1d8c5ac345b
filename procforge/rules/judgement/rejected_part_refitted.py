"""A rejected part goes back.

A part goes back though its last check rejected it.
"""

from __future__ import annotations

from procforge.rules.base import JUDGEMENT, proof_rule

RULE = proof_rule(
    __doc__,
    name="rejected-part-refitted",
    family=JUDGEMENT,
    basis="29 CFR 1910.119(j)(5)",
    message="{about:was} rejected and put back",
    label="goes back here",
    why="{state}",
    mend="renew or rebuild it on the way of the rejection",
    rank=50,
)
