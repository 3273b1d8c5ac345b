"""Two values for one variant.

Two equally specific values hold for one variant.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "two-values")
