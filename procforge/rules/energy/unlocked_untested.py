"""Locks off before the leak test.

Locks come off before the opened space was leak-tested, on some path, and the machine file does not say that it is
`tested in service`. A test that may have failed, and whose failure nothing acts on, is no test.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="unlocked-untested",
    family=ENERGY,
    basis="common practice",
    message="locks come off before {about} is leak-tested",
    label="unlocked here",
    why="the first pressure on a remade joint should be one that can be taken off again",
    mend="leak-test {about} behind the locks, or say `tested in service` in the machine",
    rank=50,
)
