"""A value that the site profile can't take.

A value in `site.toml` is of the wrong kind: a number where a text is wanted, a unit that is not in the table or is one
of another kind of quantity, a paper, signal word or manner there is none of, a label without its gaps, a logo that is
missing or no PNG, a template that is missing. What it was meant to set stays as it is without it.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "site-profile-value")
