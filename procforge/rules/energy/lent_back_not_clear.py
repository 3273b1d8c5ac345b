"""Energy lent back before the area is clear.

Energy comes back for a test or a move (`lend-back`) before tools are out and people clear. The area is seen clear
by a `clear` step after the last work on the machine.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="lent-back-not-clear",
    family=ENERGY,
    basis="29 CFR 1910.147(f)(1)(i)-(ii)",
    message="energy is lent back before the area is seen clear",
    label="lent back here",
    why="{state}",
    mend="put a `clear` step before it",
    rank=50,
)
