"""Vented while it is fed.

A space is vented or drained, or a stored energy relieved, while a feed into it is not isolated: it fills again as
it empties. One block of two, or a check valve, isolates nothing; a coupled test supply is a feed.
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
