"""Look-alikes separated unmarked.

Two items look alike, and the second comes out while the first lies about unmarked.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="look-alikes-unmarked",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:comes} out while its look-alike lies unmarked",
    label="comes out here",
    why="{state}: nobody can tell which goes where",
    mend="mark the first before the second comes out",
    rank=40,
)
