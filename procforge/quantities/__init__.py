"""Numbers with units: read as people type them, exact, of kinds that do not mix, printed with care."""

from __future__ import annotations

from typing import TYPE_CHECKING

from procforge.quantities.kinds import DIFFERENCES, KINDS, Problem, Unit, differs_in, kind_words
from procforge.quantities.quantity import COUNT, Quantity, Rounding, comparable, from_si, rounded, show
from procforge.quantities.reading import NUMBER_PATTERN, read, read_number
from procforge.quantities.second import second, second_span
from procforge.quantities.spelling import unit, units_of
from procforge.quantities.tolerance import Tolerance, read_tolerance

if TYPE_CHECKING:
    UNIT_PATTERN: str
else:

    def __getattr__(name: str) -> str:
        """`UNIT_PATTERN` is made when first asked for: most imports of this package never need it."""
        if name == "UNIT_PATTERN":
            from procforge.quantities.pattern import unit_pattern

            globals()[name] = pattern = unit_pattern()
            return pattern
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


__all__ = [
    "COUNT",
    "DIFFERENCES",
    "KINDS",
    "NUMBER_PATTERN",
    "UNIT_PATTERN",
    "Problem",
    "Quantity",
    "Rounding",
    "Tolerance",
    "Unit",
    "comparable",
    "differs_in",
    "from_si",
    "kind_words",
    "read",
    "read_number",
    "read_tolerance",
    "rounded",
    "second",
    "second_span",
    "show",
    "unit",
    "units_of",
]
