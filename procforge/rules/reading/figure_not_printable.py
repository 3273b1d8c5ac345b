"""A picture that a sheet cannot show.

A `figure` line names a file that is no PNG or JPEG, that is cut off or damaged, or that is too large: more than 4 MB,
25 million points, or 12 000 points along one side.
"""

from __future__ import annotations

from procforge.rules.base import READING, static_rule
from procforge.rules.figures import finder

RULE = static_rule(
    __doc__,
    "figure-not-printable",
    READING,
    "ISO/IEC 15948 and ISO/IEC 10918-1 for the files; the most is our own choice",
    finder("figure-not-printable"),
    why="a sheet with a broken or monstrous picture cannot be opened or printed",
)
