"""A file that is no text.

The file is not UTF-8 (or marked UTF-16) text.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "unreadable-file")
