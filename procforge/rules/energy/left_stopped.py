"""The machine is left stopped.

On some path the job shuts the machine down and ends without starting it, and `leaves` does not say so. A way that
ends at `stop here` is not asked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="left-stopped",
    family=ENERGY,
    basis="common practice",
    message="the machine is left stopped",
    label="here",
    why="a job ends as it began, in service, unless it says otherwise",
    mend="start the machine, or say: leaves … stopped",
    rank=50,
)
