"""A name with letters that only look Latin.

A Cyrillic or Greek letter that is drawn like a Latin one makes two different names look the same: a valve that is
isolated on paper would be another than the one that is locked. Names wholly in another script are fine, unless they
pass for a Latin name of the same file. The line is read as it looks.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "look-alike-letters")
