"""A line that is too long.

A line has more characters than are read; break it after a comma.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "line-too-long")
