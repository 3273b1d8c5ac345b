"""More statements laid out than are read.

`for each` repeats its statements for every member it names, and `do` a block's for every call. Inside one another
they multiply; a procedure that lays out more than 20,000 statements this way is no sheet that anyone can work from,
and it is not read.
"""

from __future__ import annotations

from procforge.rules.base import reading_rule

RULE = reading_rule(__doc__, "too-many-statements")
