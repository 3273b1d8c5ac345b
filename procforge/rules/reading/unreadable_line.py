"""A line that cannot be read.

The statement does not have the form of the language. The rest of the file is read all the same; until the line
is mended the file is "not proved".
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "unreadable-line")
