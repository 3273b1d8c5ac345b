"""Rounds until a rejection.

A repeat goes on until its check is accepted.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "repeat-until-rejected")
