"""A spring is left slack.

On some path a stored energy that does work in service, or a space that is `pre-charged`, is relieved and not loaded
again (`tension`, `charge`), and `leaves` does not say so. The finding stands where it was relieved.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="spring-left-slack",
    family=ENERGY,
    basis="common practice",
    message="{thing} is left relieved",
    label="here",
    why="{state}",
    mend="load it again (tension, charge), or say so in `leaves`",
    rank=50,
)
