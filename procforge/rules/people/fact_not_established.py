"""A condition of a step is not met.

A step needs a fact of the procedure's own that is not established on some path.
"""

from __future__ import annotations

from procforge.rules.base import PEOPLE, proof_rule

RULE = proof_rule(
    __doc__,
    name="fact-not-established",
    family=PEOPLE,
    basis="the procedure",
    message="this step needs `{hold}`, which does not hold on this way",
    label="needed here",
    why="{state}",
    mend="put the step that makes it before this one",
    rank=50,
)
