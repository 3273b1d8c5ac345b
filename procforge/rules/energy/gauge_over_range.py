"""A gauge meets more pressure than it may.

A gauge that is `not above` some pressure is opened to a space that is not relieved, or is left open when the
space is fed again.
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
    mend="open its root only after venting, and shut it before the space is fed again",
    rank=50,
)
