"""A house rule is broken.

A house rule of the site is not kept on some way: a step comes before another that the rule puts first, or after what
undoes it; a step is done that the rule bars, always, in some state, or after another; what must be done once, or
after every step of a kind, is not done. The finding gives the rule's own reason and basis.
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
    why="{asked}",
    mend="{do}",
    rank=50,
)
