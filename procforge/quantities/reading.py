"""From the text of a number, with or without its unit, to its value; a wrong one is a Problem, never an exception."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from procforge.quantities.kinds import Problem
from procforge.quantities.quantity import Quantity
from procforge.quantities.spelling import unit

MOST_DIGITS = 30
MOST_EXPONENT = 30
LONGEST = 80  # characters in a number with its unit

#: A number: a decimal, or an inch fraction such as 3/4 and 1-1/2. Made to embed in a grammar (`/` escaped).
NUMBER_PATTERN = (
    "[+\u2212\u2013-]?(?:(?:[0-9]+-)?[0-9]+\\/[0-9]+(?![0-9.])|[0-9]+(?:\\.[0-9]+)?(?:[eE][+\u2212-]?[0-9]+(?![0-9]))?)"
)
_MINUS = str.maketrans("\u2212\u2013", "--")  # minus sign, and the en dash a word processor makes of it

#: The least there is, in the base unit of the kind; the air presses with less than 1.1 bar at any depth people work.
_LEAST = {"temperature": Fraction(0), "pressure-absolute": Fraction(0), "pressure-gauge": Fraction(-110_000)}

Number = tuple[Fraction, str, str]  # value, digits as written, the text behind


@lru_cache(maxsize=4096)
def read(text: str) -> Quantity | Problem:
    """`60 N.m` as a quantity. Look-alike signs and spacing are forgiven; a comma, a bare number, an unknown unit and
    a value below absolute zero are not."""
    number = split_number(text)
    if isinstance(number, Problem):
        return number
    value, written, rest = number
    if not rest:
        return Problem(f"'{written}' has no unit", f"write the unit, such as {written} mm")
    meant = unit(rest)
    if isinstance(meant, Problem):
        return meant
    quantity = Quantity(value, meant, written)
    if quantity.si < _LEAST.get(meant.kind, quantity.si):
        zero = "absolute zero" if meant.kind == "temperature" else "a perfect vacuum"
        return Problem(f"{quantity} is below {zero}", "check the value and its unit")
    return quantity


@lru_cache(maxsize=4096)
def read_number(text: str) -> Fraction | Problem:
    """A number on its own: `60`, `-0.5`, `1.2e3`, `3/4`, `1-1/2`."""
    number = split_number(text)
    if isinstance(number, Problem):
        return number
    if number[2]:
        return Problem(f"'{number[2]}' stands after the number", "write the number alone")
    return number[0]


def split_number(text: str) -> Number | Problem:
    """The number a text begins with, its digits as written, and what stands behind it."""
    if len(text) > LONGEST:
        return Problem("too long for a number with a unit", f"write {MOST_DIGITS} digits at most")
    text = text.strip()
    match = re.match(NUMBER_PATTERN, text)
    if match is None:
        return _no_number(text)
    written, rest = match[0].translate(_MINUS), text[match.end() :]
    if rest and (fault := _fault_behind(written, rest)):
        return fault
    if sum(map(str.isdigit, written)) > MOST_DIGITS:
        return Problem("too many digits", f"write {MOST_DIGITS} digits at most")
    if "/" in written:
        return _fraction(written, rest)
    exponent = written.lower().partition("e")[2]
    if exponent and abs(int(exponent)) > MOST_EXPONENT:
        return Problem(f"the exponent {exponent} is out of reach", f"{MOST_EXPONENT} is the most that is read")
    return Fraction(written), written, rest.strip()


def _fraction(written: str, rest: str) -> Number | Problem:
    sign, body = (-1, written[1:]) if written[0] == "-" else (1, written.lstrip("+"))
    whole, _, part = body.rpartition("-")
    top, _, bottom = part.partition("/")
    if not int(bottom):
        return Problem(f"'{written}' divides by zero", "write a number")
    return sign * (int(whole or 0) + Fraction(int(top), int(bottom))), written, rest.strip()


def _no_number(text: str) -> Problem:
    if not text:
        return Problem("no number is written", "write a number, such as 1.5")
    body = text.lstrip("+-\u2212\u2013 ")
    if body[:1].isnumeric() and body[0] not in "0123456789":
        return Problem("only the digits 0 to 9 are read", "write the number with 0 to 9")
    if body[:1] in (".", ",") and body[1:2].isnumeric():
        return Problem("a number does not begin with its decimal sign", f"write 0.{body[1:].split()[0]}")
    if body[:1].isnumeric():
        return Problem("a number takes one sign, close before it", f"write {text[0]}{body}")
    return Problem(f"'{text.split()[0]}' is not a number", "write a number, such as 1.5")


def _fault_behind(written: str, rest: str) -> Problem | None:
    """What is wrong when the text behind a number carries it on."""
    nearest = rest.lstrip()
    digits = len(nearest) - len(nearest.lstrip("0123456789"))
    if rest[0] == ",":
        after = rest[1:].split()[0] if rest[1:].split() else ""
        run = after[: len(after) - len(after.lstrip("0123456789"))]
        if not run:
            return Problem("a comma stands after the number", f"write {written}")
        either = f"write {written}{run}, or {written}.{run} if" if len(run) == 3 else ""
        hint = f"{either} a decimal is meant" if either else f"write {written}.{run}"
        return Problem("a comma is not read in a number", hint)
    if rest[0] == "." and not rest[1:2].isdigit() and "." not in written:
        return Problem("a point stands after the number with no digit behind it", f"write {written}")
    if rest[0] in "._'\u2019" or (digits and rest[0] in "0123456789"):
        return Problem(f"'{written}{rest.split()[0]}' is not a number", "write the digits without separators")
    if digits == 3 and rest[0].isspace() and nearest[3:4] in ("", " "):
        return Problem("a space stands inside the number", f"write {written}{nearest[:3]}")
    if digits and nearest[digits : digits + 1] == "/":
        return Problem("a space stands inside the fraction", f"write {written}-{nearest.split()[0]}")
    if nearest[0].isnumeric() and not digits:
        return Problem("only the digits 0 to 9 are read", "write the number with 0 to 9")
    if digits or (nearest[0] in "+-\u2212\u2013" and nearest[1:2].isdigit()):
        return Problem("two numbers stand here", "write one number and its unit")
    return None
