"""A picture from outside the folder.

A `figure` line leads out of the folder of the file that says it, by `..`, by a full path or by a link. A procedure is
handed on and kept as one folder; what lies elsewhere is lost on the way, and a sheet shows nothing of other folders.
"""

from __future__ import annotations

from procforge.rules.base import READING, static_rule
from procforge.rules.figures import finder

RULE = static_rule(
    __doc__,
    "figure-outside",
    READING,
    "the language reference, grammar/README.md",
    finder("figure-outside"),
    why="the picture would be lost when the procedure is handed on",
)
