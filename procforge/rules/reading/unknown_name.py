"""A name that stands for nothing.

A name is used that nothing declares: an item, place, role, hazard, fact, model or service.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "unknown-name")
