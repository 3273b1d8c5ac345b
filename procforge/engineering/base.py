"""What every calculation gives back: a cited `Result`, or `Outside` with the reason where no number may be given.

SI inside: each function states its units. No function here raises for what a user may enter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

TINIEST, HUGEST = 1e-30, 1e30  # beyond these products and quotients of a formula could leave the floating range


@dataclass(frozen=True, slots=True)
class Outside:
    """No number: the inputs lie outside what the formula or table holds for, and what to do instead."""

    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Input:
    """One input as used: its name in words, its value in `unit` (an SI symbol, empty for a pure number)."""

    name: str
    value: float
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Result:
    """A computed `value` in `unit` (an SI symbol), with all a reader needs to check it by hand.

    `source` names work and edition; `limits` says what the number holds for, and what it does not prove.
    """

    value: float
    unit: str
    formula: str
    inputs: tuple[Input, ...]
    source: str
    limits: tuple[str, ...] = ()


def number(
    name: str,
    value: float,
    *,
    above: float | None = None,
    least: float | None = None,
    most: float | None = None,
    below: float | None = None,
    unit: str = "",
) -> Outside | None:
    """Why `value` is no usable number for `name`: not finite, or not within the bounds given; None when it is."""
    tail = f" {unit}" if unit else ""
    if not math.isfinite(value):
        return Outside(f"{name} is not a finite number")
    if value and not TINIEST <= abs(value) <= HUGEST:
        return Outside(f"{name} is {value:g}{tail}, beyond any real size")
    if above is not None and not value > above:
        return Outside(f"{name} is {value:g}{tail}; it must be above {above:g}{tail}")
    if least is not None and value < least:
        return Outside(f"{name} is {value:g}{tail}; it must be at least {least:g}{tail}")
    if most is not None and value > most:
        return Outside(f"{name} is {value:g}{tail}; it must be at most {most:g}{tail}")
    if below is not None and not value < below:
        return Outside(f"{name} is {value:g}{tail}; it must be below {below:g}{tail}")
    return None
