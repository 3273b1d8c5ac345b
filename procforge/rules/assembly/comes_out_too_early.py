"""Comes out too early.

The machine file says when an item may come out (`comes out only when …`), and on some path it is not so.
"""

from __future__ import annotations

from procforge.rules.base import ASSEMBLY, proof_rule

RULE = proof_rule(
    __doc__,
    name="comes-out-too-early",
    family=ASSEMBLY,
    basis="common practice",
    message="{about:comes} out too early",
    label="here",
    why="the machine file says when it may come out; here {state}",
    mend="bring about what the machine file asks first",
    rank=50,
)
