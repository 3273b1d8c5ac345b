"""A house rule is broken.

A step comes before another that a house rule puts first, or after what undoes it.
"""

from __future__ import annotations

from procforge.rules.base import PEOPLE, proof_rule

RULE = proof_rule(
    __doc__,
    name="house-rule-broken",
    family=PEOPLE,
    basis="the house rule",
    message="the house rule `{house}` is broken",
    label="here",
    why="{first} must come before this step, and nothing may undo it between",
    mend="do first what the house rule asks",
    rank=50,
)
