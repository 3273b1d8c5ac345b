"""A part goes back unjudged.

The machine file wants the part judged (`judged by …`), and on some path it goes back without that check
accepted since it came out. On a path where the last result was a rejection the finding is rejected-part-
refitted, after a rebuild rebuilt-part-not-judged.
"""

from __future__ import annotations

from procforge.rules.base import JUDGEMENT, proof_rule

RULE = proof_rule(
    __doc__,
    name="never-judged",
    family=JUDGEMENT,
    basis="common practice",
    message="{about:goes} back without being judged",
    label="goes back here",
    why="{state}",
    mend="check it after it comes out and before it goes back",
    rank=50,
)
