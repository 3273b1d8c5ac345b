"""Purged while it is open.

A space is purged while a part of its boundary is out and no blind stands in for it, or a seal is not seated: the
purge gas leaves by the opening, and air comes back in by it.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="purged-while-open",
    family=ENERGY,
    basis="common practice",
    message="{about} is purged while it is open",
    label="purged here",
    why="{state}: what is swept out comes back in by the opening",
    mend="close the space before this step",
    rank=50,
)
