"""A thing of the wrong kind.

A line names a thing of a kind that cannot stand there: a cover that closes a fastener.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "wrong-kind")
