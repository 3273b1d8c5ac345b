"""A hold sees a proof that is not made.

A hold, witness or review sees an energy whose proof was not read since the last step that undoes it (a feed set
or returned, a lock taken off, a purge, test pressure, a handover). What is signed there is worth nothing.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="hold-before-proof",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(6)",
    message="the hold sees {about}, which is not proved",
    label="held here",
    why="{state}: the signature would be given for nothing",
    mend="prove {about} before the hold",
    rank=50,
)
