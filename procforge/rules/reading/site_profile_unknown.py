"""A name that the site profile does not have.

A key, label, kind of quantity or severity in `site.toml` is none that the profile knows. What it was meant to set is
not set: a limit for lifting under a misspelt key would count for nothing.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "site-profile-unknown")
