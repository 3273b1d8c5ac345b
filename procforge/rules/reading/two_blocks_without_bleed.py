"""Two blocks without a bleed.

Two blocks isolate only with an open bleed between them: without it a leak of the first loads the second unseen.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "two-blocks-without-bleed")
