"""Proved while it is fed.

Zero is read, or a start tried, while a feed is not isolated: the reading says nothing of the next minute. A
coupled test supply is a feed until it is uncoupled or its own valve is locked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="proved-while-fed",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(6)",
    message="{about} is proved while it is not isolated",
    label="proved here",
    why="{state}: the reading holds only as long as nothing is opened",
    mend="isolate every feed before the proof",
    rank=50,
)
