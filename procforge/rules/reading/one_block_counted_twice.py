"""One block counted as two.

A double isolation names the same block twice.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "one-block-counted-twice")
