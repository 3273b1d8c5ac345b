"""A site profile that can't be read.

The nearest `site.toml` upward from the procedure must be a small UTF-8 text file in TOML. Nothing in it counts while
it can't be read: the sheet has its own words and limits.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "site-profile-unreadable")
