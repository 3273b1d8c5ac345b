"""A line out of place.

A statement stands where it does not belong: a property under the wrong head, an arm outside its block, work
outside a section of a procedure.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "out-of-place")
