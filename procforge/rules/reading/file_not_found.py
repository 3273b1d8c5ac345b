"""A file that is not there.

A file that is used or called cannot be read. Paths are relative to the file that says them.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "file-not-found")
