"""More of the same.

A rule has faults on many facts already; the rest of what looks suspicious was counted, not searched. The file is
faulty either way: mend those that are told, then check again.
"""

from __future__ import annotations

from procforge.findings import Severity
from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "more-of-the-same", Severity.NOTE)
