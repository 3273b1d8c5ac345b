"""A spring is loaded while what holds it back is out.

A stored energy is loaded again while a part that holds it back is not in place: what is out, or what is not yet
held, is thrown off.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="spring-loaded-while-open",
    family=ENERGY,
    basis="common practice",
    message="a stored energy is loaded while what holds it back is not in place",
    label="loaded here",
    why="{state}",
    mend="fit what holds it back first",
    rank=50,
)
