"""More of the same.

A rule has faults on many facts already; the rest of what looks suspicious was counted, not searched. What was not
searched is not proved, even where the faults that are told are waived: mend those, then check again.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "more-of-the-same")
