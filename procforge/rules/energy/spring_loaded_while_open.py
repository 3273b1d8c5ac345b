"""A spring is loaded while what holds it back is out.

A stored energy is loaded again while a part that holds it back is not in place, or is in place without its fasteners;
or a pin or clip that blocks it is taken out while such a part stands there without its fasteners. What is out, or not
yet held, is thrown off.
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
