"""A gauge meets more pressure than it may.

The machine file says that a gauge must not meet more than some pressure (`behind root-1, not above 0.8 bar(g)`).
Its root valve is opened while the space is not relieved, or is still open when test pressure goes on or when the
space is fed again. A gauge without `not above` is never asked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="gauge-over-range",
    family=ENERGY,
    basis="common practice",
    message="the gauge of {about} is open to more pressure than it may see",
    label="here",
    why="a gauge driven over its range reads wrong afterwards, or bursts",
    mend="open its root only after venting, and shut it before test pressure goes on and before the space is fed again",
    rank=50,
)
