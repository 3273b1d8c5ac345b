"""A block that is not closed.

A block has no `end`: it is closed where the next section or definition begins, which may not be where you
meant.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "block-not-closed")
