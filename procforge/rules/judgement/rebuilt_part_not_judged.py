"""A rebuilt part goes back unjudged.

A part was rebuilt after its check and goes back without a new one.
"""

from __future__ import annotations

from procforge.rules.base import JUDGEMENT, proof_rule

RULE = proof_rule(
    __doc__,
    name="rebuilt-part-not-judged",
    family=JUDGEMENT,
    basis="29 CFR 1910.119(j)(5)",
    message="{about:was} rebuilt and goes back without a new check",
    label="goes back here",
    why="{state}",
    mend="check it again after the rebuild",
    rank=50,
)
