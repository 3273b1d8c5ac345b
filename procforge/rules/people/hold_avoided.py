"""A hold is avoided on some path.

A step that a hold stands before can be reached on a way that does not pass the hold.
"""

from __future__ import annotations

from procforge.rules.base import PEOPLE, proof_rule

RULE = proof_rule(
    __doc__,
    name="hold-avoided",
    family=PEOPLE,
    basis="common practice",
    message="hold {hold} is avoided on this way",
    label="reached here",
    why="{state}",
    mend="put the hold where every way passes it",
    rank=30,
)
