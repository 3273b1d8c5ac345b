"""Not left as `leaves` says.

On some path the job ends otherwise than its `leaves` line says.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="left-otherwise",
    family=ASSEMBLY,
    basis="common practice",
    message="the job does not end as it says",
    label="here",
    why="{state}",
    mend="bring it about on every path, or mend the `leaves` line",
    rank=50,
)
