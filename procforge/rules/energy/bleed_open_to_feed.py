"""A bleed is open to a feed.

The bleed between two block valves is opened while one of them is open, or one of them is opened while the bleed is:
the feed blows off through the bleed. Both blocks first, then the bleed; back the other way round.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="bleed-open-to-feed",
    family=ENERGY,
    basis="common practice",
    message="a bleed is open to a feed that is not shut off",
    label="here",
    why="{state}: the feed blows off through the bleed",
    mend="shut both block valves before the bleed is opened, and shut the bleed before a block valve is opened",
    rank=40,
)
