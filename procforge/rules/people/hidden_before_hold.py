"""Hidden before the hold sees it.

A hold sees an item that something lies over by then.
"""

from __future__ import annotations

from procforge.rules.base import PEOPLE, proof_rule

RULE = proof_rule(
    __doc__,
    name="hidden-before-hold",
    family=PEOPLE,
    basis="common practice",
    message="the hold comes after {about:is} hidden",
    label="held here",
    why="{state}: there is nothing left to see",
    mend="put the hold before what hides it is fitted",
    rank=30,
)
