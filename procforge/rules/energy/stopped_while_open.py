"""The job stops with a live space open.

At `stop here` or `may stop here` a part of the boundary is out and the space is not relieved. Open, relieved and
locked is sound; so is closed.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="stopped-while-open",
    family=ENERGY,
    basis="common practice",
    message="the job stops with {about} open and not relieved",
    label="stops here",
    why="whoever comes next finds an opening with pressure behind it",
    mend="close or relieve {about} before stopping",
    rank=50,
)
