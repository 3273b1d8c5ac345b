"""`before starting` lists nothing.

The block lists conditions, permits or wear, or says `none`.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "nothing-before-starting")
