"""A space is left untested.

On some path a space was opened (its nuts eased are enough) and the job ends without a leak test of it since. A
space that is `tested in service` is tested after the return. A part that is left out leaves its space untested
and is not told twice.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="left-untested",
    family=ENERGY,
    basis="common practice",
    message="{thing} is left without a leak test",
    label="here",
    why="{state}",
    mend="leak-test it after the last joint is torqued, or say so in `leaves`",
    rank=50,
)
