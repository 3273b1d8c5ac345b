"""Calls in a circle.

A block or procedure calls itself, directly or through others.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "calls-in-a-circle")
