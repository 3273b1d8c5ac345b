"""A quantity of the wrong kind.

A quantity is of a kind that cannot stand there: an energy for a torque, a bare bar for a gauge pressure.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "wrong-quantity")
