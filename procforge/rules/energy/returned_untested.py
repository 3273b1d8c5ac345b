"""Fed again before the leak test.

A feed is opened into a space that was opened and not leak-tested since, and the machine file does not say that it
is `tested in service`. Where locks come off first, unlocked-untested tells it there.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="returned-untested",
    family=ENERGY,
    basis="common practice",
    message="{about} is fed again before it is leak-tested",
    label="fed here",
    why="{state}",
    mend="leak-test it first, or say in the machine that it is `tested in service`",
    rank=50,
)
