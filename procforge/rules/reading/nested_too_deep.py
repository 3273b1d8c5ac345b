"""Blocks nested too deep.

Blocks stand in blocks beyond what anyone can follow on paper.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "nested-too-deep")
