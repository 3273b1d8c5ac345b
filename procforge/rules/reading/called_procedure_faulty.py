"""A called procedure has errors.

A procedure that is called has errors of its own, in its text or in its proof; what it leaves cannot be relied on, and
what calls it is not proved.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "called-procedure-faulty")
