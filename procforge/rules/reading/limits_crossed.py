"""Limits that cross.

A lower limit is above the upper one.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "limits-crossed")
