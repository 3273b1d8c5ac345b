"""Second units: right against another unit library, and never a wider limit than the first."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.quantities import Problem, Quantity, Unit, read, second, second_span, unit
from procforge.sheet.inline import Blank, BlankKind, Run, bounds, limit_words
from procforge.sheet.seconds import Seconds, bracketed, glued

PINT = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
#: Unit of ours, unit of pint, second unit of ours, of pint. Gauge pressures convert by size alone.
PAIRS = [
    ("N·m", "newton * meter", "lbf·ft", "force_pound * foot"),
    ("lbf·ft", "force_pound * foot", "N·m", "newton * meter"),
    ("bar(g)", "bar", "psi(g)", "psi"),
    ("bar(a)", "bar", "psi(a)", "psi"),
    ("mm", "millimeter", "in", "inch"),
    ("kg", "kilogram", "lb", "pound"),
    ("°C", "degC", "°F", "degF"),
]


def amount(text: str) -> Quantity:
    found = read(text)
    assert isinstance(found, Quantity), text
    return found


def meant(text: str) -> Unit:
    found = unit(text)
    assert not isinstance(found, Problem)
    return found


def number(text: str) -> Fraction:
    return Fraction(text.split()[0])


@pytest.mark.parametrize(("ours", "theirs", "other", "their_other"), PAIRS)
@pytest.mark.parametrize("value", ["0.05", "1", "4.5", "23", "60", "1060"])
def test_against_pint(ours: str, theirs: str, other: str, their_other: str, value: str) -> None:
    """pint 0.24, a library of units that shares no table with ours."""
    q = amount(f"{value} {ours}")
    exact = PINT.Quantity(float(value), theirs).to(their_other).magnitude
    digits = max(3, len(value.replace(".", "").lstrip("0")))
    near = float(number(second(q, meant(other))))
    assert near == pytest.approx(exact, rel=0.5 * 10 ** (1 - digits) * 1.001)
    down, up = (float(number(second(q, meant(other), way))) for way in ("down", "up"))
    assert down <= exact * (1 + 1e-12) and up >= exact * (1 - 1e-12) and down <= near <= up


def test_worked_values() -> None:
    """60 N·m = 44.25 lbf·ft, 23 kg = 50.7 lb, 1 bar = 14.5038 psi: handbook conversions (from memory)."""
    assert second(amount("60 N·m"), meant("lbf·ft")) == "44.3 lbf·ft"
    assert second(amount("23 kg"), meant("lb")) == "50.7 lb"
    assert second(amount("1 bar(g)"), meant("psi(g)")) == "14.5 psi(g)"
    assert second(amount("20 °C"), meant("°F")) == "68 °F"
    assert second_span(amount("57 N·m"), amount("63 N·m"), meant("lbf·ft")) == "42.1 to 46.4 lbf·ft"
    assert second_span(None, amount("0.05 bar(g)"), meant("psi(g)")) == "0.725 psi(g) or less"
    assert second_span(amount("15 °C"), None, meant("°F")) == "59 °F or more"
    assert second(amount("60 N·m"), meant("N·m")) == "" and second_span(None, None, meant("mm")) == ""
    with pytest.raises(ValueError, match="no value in mm"):
        second(amount("60 N·m"), meant("mm"))


@given(
    st.sampled_from([(a, b) for a, _, b, _ in PAIRS]),
    st.decimals(-500, 5000, places=3),
    st.decimals(0, 2000, places=3),
)
def test_a_printed_range_never_exceeds_the_first(pair: tuple[str, str], low: object, width: object) -> None:
    first, other = unit(pair[0]), meant(pair[1])
    assert not isinstance(first, Problem)
    start = Fraction(str(low))
    stop = start + Fraction(str(width))
    a, b = (Quantity(v, first, f"{float(v):.3f}") for v in (start, stop))
    said = second_span(a, b, other)
    if not said:
        assert width == 0 or stop - start < Fraction(1, 100), "only a range of nothing is left out"
        return
    low_text, _, rest = said.partition(" to ")
    told = [Fraction(t) * other.factor + other.offset for t in (low_text, rest.split()[0])]
    assert a.si <= told[0] <= told[1] <= b.si
    if stop - start >= Fraction(1, 10):
        assert told[1] - told[0] >= (b.si - a.si) * Fraction(9, 10), "and takes no more than a tenth of it away"


def test_where_it_stands_in_a_sentence() -> None:
    seconds = Seconds({"torque": meant("lbf·ft"), "pressure-gauge": meant("psi(g)")})
    target, test = amount("60 N·m"), amount("6 bar(g)")
    made = seconds.spread("Tighten it to 60\u00a0N·m, not to 160\u00a0N·m.", [target])
    assert made == ("Tighten it to 60\u00a0N·m", Run("\u00a0(44.3\u00a0lbf·ft)", small=True), ", not to 160\u00a0N·m.")
    two = seconds.spread("Hold 16\u00a0bar(g), then 6\u00a0bar(g), 60\u00a0N·m.", [test, None, target])
    assert [part.text for part in two if isinstance(part, Run)] == [
        "\u00a0(87.0\u00a0psi(g))",
        "\u00a0(44.3\u00a0lbf·ft)",
    ]
    assert seconds.spread("Nothing is said of it.", [target]) == "Nothing is said of it."
    assert Seconds().spread("Tighten it to 60\u00a0N·m.", [target]) == "Tighten it to 60\u00a0N·m."
    strong = seconds.spread("Mass 60\u00a0N·m.", [target], strong=True)
    assert [(r.strong, r.small) for r in strong if isinstance(r, Run)] == [(True, False), (False, True), (True, False)]


def test_a_limit_is_printed_with_its_second_unit() -> None:
    blank = Blank("a", BlankKind.READING, "", "mm", low="-0.05", high="0.05", second="-0.00196 to 0.00196 in")
    assert bounds(blank) == "\u22120.05 to\u00a00.05\u00a0mm", "a line may end after a hyphen, and 0.05 would be read"
    assert limit_words(blank) == (bounds(blank), Run(" (-0.00196 to 0.00196 in)", small=True))
    assert limit_words(Blank("a", BlankKind.READING)) == ""
    seconds = Seconds({"length": meant("in")})
    assert seconds.of_span(amount("-0.05 mm"), amount("0.05 mm")) == "\u22120.00196\u00a0to\u00a00.00196\u00a0in"


def test_pieces_are_joined() -> None:
    small = Run(" (b)", small=True)
    assert glued("a", "b") == "ab" and glued() == "" and glued("", ("a", small), "c", "d") == ("a", small, "cd")
    assert bracketed("a", "") == "a" and bracketed("a", "b") == ("a", Run(" (b)", small=True))
