"""A name defined twice.

Two definitions have one name.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "defined-twice")
