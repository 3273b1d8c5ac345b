"""Files that use each other.

A file uses itself, directly or through others.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "use-in-a-circle")
