"""A quantity that cannot be read.

A number or unit cannot be read: an unknown unit, a comma for the decimal point.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "unreadable-quantity")
