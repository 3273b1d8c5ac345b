"""Numbers as people write and read them: in the units of the trade, exact as typed; and faults found with a job."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from procforge.engineering.base import Outside, Result
from procforge.findings import Severity
from procforge.quantities import COUNT, Quantity, from_si, rounded
from procforge.quantities.quantity import shortest

_FINITE = 1e15  # a number beyond this is printed as it is
_NOTHING = 1e-12  # SI: below this a quantity of the trade is none, and products of such numbers vanish


@dataclass(frozen=True, slots=True)
class Fault:
    """What a calculation finds wrong with a job: `kind` is a short tag that a rule can look up."""

    kind: str
    severity: Severity
    message: str
    hint: str = ""


def quantity(result: Result, symbol: str = "", digits: int = 3) -> Quantity:
    """A result in the unit `symbol` (left out: its SI unit), printed to `digits`; ValueError for another kind."""
    if result.unit or symbol:
        return from_si(result.value, symbol or result.unit, digits)
    exact_value = Fraction(result.value)
    return Quantity(exact_value, COUNT, rounded(exact_value, digits))


def shown(value: float, unit: str, digits: int = 3) -> str:
    """An SI `value` printed in `unit` (empty: a plain number) for a message; any float, finite or not."""
    if not math.isfinite(value) or abs(value) > _FINITE or 0 < abs(value) < 1 / _FINITE:
        return f"{value:g} SI units"
    typed = exact(value)  # so that 0.005 m is 5 mm and not 5.00
    return str(from_si(typed, unit, digits)) if unit else shortest(typed, digits)


def positive(name: str, value: float, unit: str, most: float) -> Outside | None:
    """None if 0 < `value` <= `most`, both SI; otherwise what is wrong, with the numbers printed in `unit`."""
    if not math.isfinite(value):
        return Outside(f"{name} is not a finite number", "check the value")
    if _NOTHING <= value <= most:
        return None
    wanted = f"it must be above 0 and at most {shown(most, unit)}"
    return Outside(f"{name} is {shown(value, unit)}; {wanted}", "check the value and its unit")


def within(name: str, value: float, unit: str, least: float, most: float, hint: str = "") -> Outside | None:
    """None if `least` <= `value` <= `most`, all SI; otherwise what is wrong, with the numbers printed in `unit`."""
    if not math.isfinite(value):
        return Outside(f"{name} is not a finite number", "check the value")
    if least <= value <= most:
        return None
    wanted = f"this holds from {shown(least, unit)} to {shown(most, unit)}"
    return Outside(f"{name} is {shown(value, unit)}; {wanted}", hint or "check the value and its unit")


def exact(value: Fraction | float) -> Fraction:
    """A number as it was typed: the float 10.02 is the decimal 10.02, so that it equals a limit written so.

    ValueError for a float that is not finite.
    """
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{value} is not a finite number")
        return Fraction(repr(value))
    return Fraction(value)
