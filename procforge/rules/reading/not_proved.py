"""Not proved.

The proof met its budget: whether a need holds hangs on too many check results that are read again later. This is
an error and can never be waived: not proved is not sound. Join the branches, or check again.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "not-proved")
