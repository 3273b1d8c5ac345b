"""Proved before it is relieved.

A space is to be proved at zero that was never vented, or was fed since. Setting any of its valves, also a second
time, lets it be fed.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="proved-before-relieved",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(5)-(6)",
    message="{about} is proved before it is relieved",
    label="proved here",
    why="there is pressure to be found: the proof can only fail",
    mend="vent {about} before the proof",
    rank=50,
)
