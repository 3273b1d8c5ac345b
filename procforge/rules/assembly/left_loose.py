"""A fastener is left loose.

On some path the job ends with a fastener off, loose or hand-tight.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="left-loose",
    family=ASSEMBLY,
    basis="common practice",
    message="{thing:is} left loose",
    label="here",
    why="{state}",
    mend="tighten it on that path, or say so in `leaves`",
    rank=50,
)
