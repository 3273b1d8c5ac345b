"""Locks off before the area is seen clear.

Locks come off before the area was seen clear of people, tools and loose objects (`clear`) after the last work on
the machine: loosening, taking off, fitting, tightening, or a test from a supply.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="unlocked-area-not-clear",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(1)-(2)",
    message="locks come off before the area is seen clear",
    label="unlocked here",
    why="someone or something may still be in the way",
    mend="put a `clear` step after the work and before the locks come off",
    rank=50,
)
