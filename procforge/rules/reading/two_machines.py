"""Two machines.

A procedure acts on one machine.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "two-machines")
