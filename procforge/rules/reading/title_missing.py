"""An item without a title.

An item has no title: the sheet prints titles, not names.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "title-missing")
