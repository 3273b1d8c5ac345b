"""A part is left out.

On some path the job ends with a part out.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="left-out",
    family=ASSEMBLY,
    basis="common practice",
    message="{thing:is} left out",
    label="here",
    why="{state}",
    mend="fit it on that path, or say so in `leaves`",
    rank=50,
)
