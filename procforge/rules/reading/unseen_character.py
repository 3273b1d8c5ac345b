"""A character that nobody sees.

Zero-width characters, soft hyphens and marks that turn the direction of writing make two names look like one, or a
line look like another. Outside quotes they never belong; in quotes and comments only the joiners and direction marks
that a script needs do. The line is read without them.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "unseen-character")
