"""Opened before it is isolated.

A space is opened (at its nuts, its cover or its safety device) while a feed into it is not isolated. Opening
starts at the first nut that is eased, not when the cover lifts. Every feed needs one whole scheme: one isolator
set, two blocks set with the bleed between them open, or a spade fitted. One block of two, or a check valve, is
none. A coupled test supply is a feed until it is uncoupled or its own valve is locked. A part between two spaces
opens both.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="opened-before-isolated",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(3)",
    message="{about} is opened while a feed into it is not isolated",
    label="opened here",
    why="{state}: what feeds the space can reach the opening",
    mend="isolate every feed of {about} before this step, and keep it so until the joint is closed",
    rank=1,
)
