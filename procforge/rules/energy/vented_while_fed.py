"""Vented while it is fed.

Stored energy is let out of a space (or a spring) that is not isolated: it fills again as it empties.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="vented-while-fed",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(5)",
    message="{about} is vented while a feed into it is open",
    label="vented here",
    why="{state}: what goes out comes in again",
    mend="isolate every feed before this step",
    rank=50,
)
