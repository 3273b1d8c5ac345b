"""Leak-tested without pressure.

A space is leak-tested though no pressure was put on it: none by `pressurise` before, none by a supply that the
test itself names, and the machine file does not say that the space is `tested in service`.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="tested-without-pressure",
    family=ENERGY,
    basis="common practice",
    message="{about} is leak-tested without pressure",
    label="tested here",
    why="{state}",
    mend="pressurise it from a supply first, name the supply (`with …`), or say in the machine that it is `tested in service`",
    rank=50,
)
