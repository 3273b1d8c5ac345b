"""People not told before the start.

The machine is started and nobody was told (`notify`) since the last lock came off. What was told before the locks
came off does not count: then people still kept clear.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="people-not-told",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(2)(ii)",
    message="the machine is started before people are told",
    label="started here",
    why="people who kept clear because of the locks do not know that they are off",
    mend="put a `notify` step after the last lock comes off and before the start",
    rank=50,
)
