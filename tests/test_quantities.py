"""Numbers with units as people type and read them: what is forgiven, what is refused, what does not mix."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.quantities import (
    COUNT,
    Problem,
    Quantity,
    Rounding,
    Tolerance,
    Unit,
    comparable,
    differs_in,
    from_si,
    kind_words,
    read,
    read_number,
    read_tolerance,
    rounded,
    show,
    unit,
)
from procforge.quantities.table import rows

ALL_UNITS = [entry for entry, _ in rows() if entry.symbol]


def good(text: str) -> Quantity:
    found = read(text)
    assert isinstance(found, Quantity), found
    return found


def bad(text: str) -> Problem:
    found = read(text)
    assert isinstance(found, Problem), found
    return found


def tolerance(text: str) -> Tolerance:
    found = read_tolerance(text)
    assert isinstance(found, Tolerance), found
    return found


def limits(value: str, allowed: str) -> tuple[Quantity, Quantity]:
    found = tolerance(allowed).limits(good(value))
    assert isinstance(found, tuple), found
    return found


# ---- what people type


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        *((f"60{gap}{name}", "60 N·m") for gap in ("", " ", "\u00a0", "\u202f", "  ")
          for name in ("Nm", "N·m", "N.m", "N*m", "N\u22c5m", "N\u2219m", "N-m", "N m")),
        *((f"45 {name}", "45 lbf·ft") for name in ("ft-lb", "ft·lb", "ft lb", "ftlb", "lb-ft", "lbf·ft", "ft-lbf",
                                                   "lbf.ft", "ft-lbs", "ft lbs")),
        *((f"5 {name}", "5 °C") for name in ("°C", "° C", "degC", "deg C", "\u00baC", "\u02daC")),
        *((f"5 {name}", "5 μm") for name in ("\u00b5m", "\u03bcm", "um", "micron")),
        *((f"5 {name}", "5 mm²") for name in ("mm2", "mm²", "mm^2", "mm^²")),
        *((f"{sign}5 °C", "-5 °C") for sign in ("-", "\u2212", "\u2013")),
        *((f"6 {name}", "6 bar(g)") for name in ("bar(g)", "bar (g)", "barg", "bar g", "bar-g")),
        *((f"6 {name}", "6 psi(a)") for name in ("psi(a)", "psia", "PSIA", "psi a")),
        *((f"1500 {name}", "1500 r/min") for name in ("rpm", "r/min", "min-1", "min⁻¹", "min^-1", "r / min")),
        *((f"20 {name}", "20 %LEL") for name in ("%LEL", "% LEL", "%LFL")),
        ("90 °", "90°"), ("90 deg", "90°"), ("3/4 in", "3/4 in"), ("1-1/2 in", "1-1/2 in"), ("+5 mm", "+5 mm"),
        ("5 m3/h", "5 m³/h"), ("5 m3 / h", "5 m³/h"), ("5 %", "5 %"), ("5%", "5 %"), ("8 hours", "8 h"),
        ("1 turn", "1 turn"), ("0.5 turn", "0.5 turns"), ("12 months", "12 months"), ("1 month", "1 month"),
        ("5 \u2126", "5 Ω"), ("1.50 mm", "1.50 mm"), ("1.5e3 Pa", "1.5e3 Pa"), ("10 Nm3/h", "10 m³(n)/h"),
        ("10 \u2206K", "10 K(d)"), ("4 off", "4 pcs"), ("5 mmH2O", "5 mmH₂O"),
    ],
)  # fmt: skip
def test_read_forgives(typed: str, printed: str) -> None:
    assert str(good(typed)) == printed


def test_values_of_fractions() -> None:
    assert good("1-1/2 in").value == Fraction(3, 2)
    assert good("-3/4 in").value == Fraction(-3, 4)
    assert read_number("1-1/2") == Fraction(3, 2)
    assert read_number(" -0.5 ") == Fraction(-1, 2)
    assert read_number("1.2e3") == 1200


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("1,5 mm", "comma", "write 1.5"),
        ("1,000 mm", "comma", "write 1000, or 1.000 if a decimal is meant"),
        ("1 000 mm", "space", "write 1000"),
        ("1_000 mm", "1_000", "without separators"),
        ("1'000 mm", "1'000", "without separators"),
        ("1.2.3 mm", "1.2.3", "without separators"),
        (".5 mm", "decimal sign", "write 0.5"),
        ("5. mm", "point", "write 5"),
        ("- 5 mm", "one sign", "write -5 mm"),
        ("1 1/2 in", "fraction", "write 1-1/2"),
        ("1/0 in", "zero", "number"),
        ("\u0663 mm", "digits 0 to 9", "0 to 9"),  # an Arabic-Indic three
        ("1\u0663 mm", "digits 0 to 9", "0 to 9"),
        ("\uff15 mm", "digits 0 to 9", "0 to 9"),  # a full-width five
        ("1½ in", "digits 0 to 9", "0 to 9"),
        ("5-10 mm", "two numbers", "one number"),
        ("5 mm 3", "not a unit", "mm"),
        ("60", "no unit", "60 mm"),
        ("", "no number", "1.5"),
        ("nan mm", "'nan'", "1.5"),
        ("inf mm", "'inf'", "1.5"),
        ("mm", "'mm'", "1.5"),
        ("1e31 mm", "exponent 31", "30"),
        ("1e999999999 mm", "exponent", "30"),
        ("1" * 31 + " mm", "digits", "30"),
        ("1" * 1000 + " mm", "too long", "30"),
        ("5 " + "m" * 60, "unit", "bar(g)"),
        ("5 newtons", "'newtons'", ""),
        ("5 Bar", "'Bar'", "bar"),
        ("5 MM", "'MM'", "mm"),
        ("5 minuts", "'minuts'", "min"),
        ("60 nm", "'nm'", "N·m"),
        ("5 tons", "three different masses", "kg"),
        ("5 gal", "two different volumes", "gal(US)"),
        ("5 gpm", "two different flows", "gal(US)/min"),
        ("5 C", "temperature", "°C"),
        ("5 rad", "degrees", "turn"),
        ("5 mpa", "mega or milli", "MPa"),
        ("60 N·m ± 5 %", "tolerance", "value and its unit"),
        ("-300 °C", "absolute zero", "check"),
        ("-460 °F", "absolute zero", "check"),
        ("-0.1 bar(a)", "perfect vacuum", "check"),
    ],
)
def test_read_refuses(text: str, message: str, hint: str) -> None:
    problem = bad(text)
    assert message in problem.message
    assert hint in problem.hint


def test_a_vacuum_on_a_gauge_is_no_fault() -> None:
    assert good("-0.8 bar(g)").si == -80_000
    assert good("0 bar(a)").si == 0
    assert good("-459.67 °F").si == 0


@given(st.text(max_size=90))
def test_any_text_is_a_value_or_a_problem(text: str) -> None:
    assert isinstance(read(text), Quantity | Problem)
    assert isinstance(read_number(text), Fraction | Problem)
    assert isinstance(unit(text), Unit | Problem)
    assert isinstance(read_tolerance(text), Tolerance | Problem)


@given(st.text(alphabet="0123456789.,-+±/% eEmNbar(g)'_½²³\u0663\u2212", max_size=24))
def test_any_nearly_right_text_is_a_value_or_a_problem(text: str) -> None:
    for found in (read(text), read_number(text), read_tolerance(text)):
        assert not isinstance(found, Problem) or found.message


# ---- kinds that do not mix


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("5 N·m", "5 J"),
        ("5 bar(g)", "5 bar(a)"),
        ("5 bar", "5 bar(g)"),
        ("5 bar", "5 bar(a)"),
        ("5 bar", "5 bar(d)"),
        ("5 K", "5 K(d)"),
        ("5 MPa", "5 N/mm²"),
        ("5 Hz", "5 r/s"),
        ("5 ppm(v)", "5 ppm(m)"),
        ("5 ppm", "5 ppm(v)"),
        ("5 %", "5 %LEL"),
        ("5 %vol", "5 %LEL"),
        ("5 m³/h", "5 m³(n)/h"),
        ("1 month", "1 week"),
        ("5 kg", "5 kgf"),
        ("5 lb", "5 lbf"),
    ],
)
def test_kinds_do_not_mix(a: str, b: str) -> None:
    one, other = good(a), good(b)
    assert not comparable(one, other)
    assert one != other
    words = f"{re.escape(kind_words(one.kind))} and {re.escape(kind_words(other.kind))}"
    for compare in (one.__lt__, one.__le__, one.__gt__, one.__ge__):
        with pytest.raises(ValueError, match=words):
            compare(other)
    with pytest.raises(ValueError, match=words):
        one.to(other.unit.symbol)
    with pytest.raises(ValueError, match=words):
        show(one, second=other.unit.symbol)


def test_only_units_of_one_kind_convert() -> None:
    for one, other in product(ALL_UNITS, ALL_UNITS):
        start = Quantity(Fraction(1), one, "1")
        if one.kind == other.kind:
            back = start.to(other.symbol).to(one.symbol)
            assert back.value == 1, (one, other)
        elif one.symbol in ("N·m", "bar(g)", "K", "%"):
            with pytest.raises(ValueError, match="do not mix"):
                start.to(other.symbol)


def test_order_and_equality_within_a_kind() -> None:
    assert good("1 bar(g)") == good("100 kPa(g)")
    assert hash(good("1 bar(g)")) == hash(good("100 kPa(g)"))
    assert good("25 lbf·ft") < good("34 N·m") <= good("34.0 N·m") < good("35 N·m")
    assert good("-5 °C") < good("30 °F")
    assert good("35 N·m") > good("34 N·m") >= good("34 N·m")
    assert good("5 mm") != "5 mm"
    assert len({good("1 m"), good("1000 mm"), good("1 mm")}) == 2
    with pytest.raises(ValueError, match="flurb"):
        good("5 mm").to("flurb")


# ---- tolerances


@pytest.mark.parametrize(
    ("text", "low", "high", "relative", "symbol", "printed"),
    [
        ("± 5 %", "-0.05", "0.05", True, None, "± 5 %"),
        ("±5%", "-0.05", "0.05", True, None, "± 5 %"),
        ("+/- 3", "-3", "3", False, None, "± 3"),
        ("+/-3 N.m", "-3", "3", False, "N·m", "± 3 N·m"),
        ("+- 3 N.m", "-3", "3", False, "N·m", "± 3 N·m"),
        ("+10 % -5 %", "-0.05", "0.1", True, None, "+10 % -5 %"),
        ("-5 % +10 %", "-0.05", "0.1", True, None, "+10 % -5 %"),
        ("+10/-5 %", "-0.05", "0.1", True, None, "+10 % -5 %"),
        ("+0.2 \u22120.1 mm", "-0.1", "0.2", False, "mm", "+0.2 mm -0.1 mm"),
        ("+0 -0.1 mm", "-0.1", "0", False, "mm", "+0 mm -0.1 mm"),
        ("+10 ft-lb -5 ft-lb", "-5", "10", False, "lbf·ft", "+10 lbf·ft -5 lbf·ft"),
        ("+20 min-1 -10 min-1", "-10", "20", False, "r/min", "+20 r/min -10 r/min"),
        ("± 1/16 in", "-0.0625", "0.0625", False, "in", "± 1/16 in"),
    ],
)
def test_tolerances(text: str, low: str, high: str, relative: bool, symbol: str | None, printed: str) -> None:
    found = tolerance(text)
    assert (found.low, found.high, found.relative) == (Fraction(low), Fraction(high), relative)
    assert (found.unit.symbol if found.unit else None) == symbol
    assert str(found) == printed
    again = tolerance(str(found))
    assert (again.low, again.high, again.relative, again.unit) == (found.low, found.high, relative, found.unit)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("5 %", "begins with"),
        ("", "begins with"),
        ("± -5 %", "second sign"),
        ("± 0", "nothing"),
        ("+0 -0", "nothing"),
        ("+10 %", "one side"),
        ("+5 % +10 %", "same sign"),
        ("+10 % -5 mm", "differ in unit"),
        ("± 150 %", "100 %"),
        ("± 1,5 mm", "comma"),
        ("± 5 flurbs", "flurbs"),
        ("±", "no number"),
        ("± " + "1" * 100, "too long"),
    ],
)
def test_tolerances_refused(text: str, message: str) -> None:
    found = read_tolerance(text)
    assert isinstance(found, Problem)
    assert message in found.message


def test_limits() -> None:
    assert [str(q) for q in limits("60 N·m", "± 5 %")] == ["57 N·m", "63 N·m"]
    assert [str(q) for q in limits("60 N·m", "+10 % -5 %")] == ["57 N·m", "66 N·m"]
    assert [str(q) for q in limits("60 N·m", "+/- 3")] == ["57 N·m", "63 N·m"]
    assert [str(q) for q in limits("20 °C", "± 3 °C")] == ["17 °C", "23 °C"]
    assert [str(q) for q in limits("20 °C", "± 9 °F")] == ["15 °C", "25 °C"]
    assert [str(q) for q in limits("6 bar(g)", "± 10 kPa")] == ["5.9 bar(g)", "6.1 bar(g)"]
    assert [str(q) for q in limits("6 bar(g)", "± 0.1 bar(d)")] == ["5.9 bar(g)", "6.1 bar(g)"]
    assert [str(q) for q in limits("-0.5 bar(g)", "± 10 %")] == ["-0.55 bar(g)", "-0.45 bar(g)"]


def test_limits_are_exact_and_printed_inwards() -> None:
    low, high = limits("40 N·m", "± 1 lbf·ft")
    assert low.value == 40 - Fraction("1.3558179483314004")
    assert (low.written, high.written) == ("38.65", "41.35")
    assert Fraction(low.written) >= low.value
    assert Fraction(high.written) <= high.value


@pytest.mark.parametrize(
    ("value", "allowed", "message"),
    [
        ("20 °C", "± 5 %", "temperature"),
        ("5 %", "± 1 %", "percentage of a percentage"),
        ("60 N·m", "± 3 J", "does not fit"),
        ("6 bar(g)", "± 0.1 bar(a)", "does not fit"),
        ("60 N·m", "± 3 mm", "does not fit"),
        ("20 %LEL", "± 1 ppm", "does not fit"),
    ],
)
def test_limits_refused(value: str, allowed: str, message: str) -> None:
    found = tolerance(allowed).limits(good(value))
    assert isinstance(found, Problem)
    assert message in found.message


def test_a_difference_of_each_kind() -> None:
    assert differs_in("temperature") == "temperature-difference"
    assert differs_in("pressure-gauge") == differs_in("pressure-absolute") == "pressure-difference"
    assert differs_in("torque") == "torque"


# ---- printing


def test_show() -> None:
    torque = good("60 N.m")
    assert show(torque) == "60 N·m"
    assert show(torque, second="lbf·ft") == "60 N·m (44.3 lbf·ft)"
    assert show(torque, second="ft-lb") == "60 N·m (44.3 lbf·ft)"
    assert show(torque, second="N·m") == "60 N·m"
    assert show(torque, 3) == "60.0 N·m"
    assert show(torque, 1, second="lbf·ft") == "60 N·m (40 lbf·ft)"
    assert show(good("0.8 bar(g)"), second="psi(g)", rounding="down") == "0.8 bar(g) (11.6 psi(g))"
    assert show(good("0.8 bar(g)"), second="psi(g)", rounding="up") == "0.8 bar(g) (11.7 psi(g))"
    assert show(good("90 °"), second="turn") == "90° (0.25 turns)"
    assert str(Quantity(Fraction(4), COUNT, "4")) == "4"


def test_from_base_units() -> None:
    assert str(from_si(Fraction(6283), "N")) == "6280 N"
    assert str(from_si(6283.2, "kN", digits=4)) == "6.283 kN"
    assert str(from_si(293.15, "°C", digits=2)) == "20 °C"
    assert from_si(Fraction(10**5), "bar").si == 10**5
    for wrong in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="not a finite number"):
            from_si(wrong, "N")


@given(
    st.fractions(max_denominator=10**9).filter(lambda v: not v or 1e-12 < abs(v) < 1e18),
    st.integers(1, 12),
    st.sampled_from(["nearest", "down", "up"]),
)
def test_rounding_agrees_with_decimal(value: Fraction, digits: int, rounding: Rounding) -> None:
    # The decimal module is the oracle; only its own exact division can tie differently, so ask it for plenty.
    mode = {"nearest": ROUND_HALF_UP, "down": ROUND_FLOOR, "up": ROUND_CEILING}[rounding]
    exact = Context(prec=400).divide(Decimal(value.numerator), Decimal(value.denominator))
    assert Fraction(rounded(value, digits, rounding)) == Fraction(Context(prec=digits, rounding=mode).plus(exact))


def test_rounding_keeps_its_digits() -> None:
    assert rounded(Fraction("9.996"), 3) == "10.0"
    assert rounded(Fraction("0.0012345"), 3) == "0.00123"
    assert rounded(Fraction(31_000_000), 3) == "31000000"
    assert rounded(Fraction("2.5"), 1) == "3"
    assert rounded(Fraction("-2.5"), 1, "up") == "-2"
    assert rounded(Fraction(0), 3) == "0"
    assert read_number(rounded(Fraction(10) ** 20 / 3, 3)) == Fraction("3.33e19")
    with pytest.raises(ValueError, match="digit"):
        rounded(Fraction(1), 0)
