"""Leak-tested without pressure.

A space is leak-tested though nothing presses on it: no pressure was put on by `pressurise`, the test itself names
no supply, and no feed is open. The pressure of an open feed counts where the machine file says that the space is
`tested in service`.
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
    mend="pressurise it from a supply first, name the supply (`with …`), or return a feed first where the machine says `tested in service`",
    rank=50,
)
