"""A called procedure has errors.

A procedure that is called has errors of its own; what it leaves cannot be relied on.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "called-procedure-faulty")
