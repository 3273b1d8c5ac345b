"""Worked on before it is out.

An item is rebuilt, renewed or taken apart while it is still in the machine.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="not-out-yet",
    family=ASSEMBLY,
    basis="common practice",
    message="{thing:is} not out yet",
    label="here",
    why="{state}",
    mend="remove it first",
    rank=50,
)
