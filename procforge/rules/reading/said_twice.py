"""Said twice.

A line stands twice where it can stand once.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "said-twice")
