"""Test pressure left on.

Test pressure is still on where it must be off: before locks come off, before the supply is disconnected, before
the space is fed, at a stop or at the end. After a failed test it must come off as well. `let-down` takes it off
the spaces it names, and off all that a supply named by `with` reaches.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="test-pressure-left-on",
    family=ENERGY,
    basis="common practice",
    message="test pressure is still on {about}",
    label="still on here",
    why="{state}",
    mend="let the pressure down before this step, on the way of a failed test too",
    rank=50,
)
