"""The unit table against the definitions and against pint, and the pattern made from it.

Sources named below: SI Brochure, 9th edition (2019); NIST SP 811 (2008), appendix B.8.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from typing import Any

import lark
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.quantities import (
    DIFFERENCES,
    KINDS,
    NUMBER_PATTERN,
    UNIT_PATTERN,
    Problem,
    Quantity,
    Unit,
    kind_words,
    read,
    rounded,
    unit,
    units_of,
)
from procforge.quantities.spelling import LOOK_ALIKES, plain, spellings
from procforge.quantities.table import rows

ALL_UNITS = [entry for entry, _ in rows() if entry.symbol]
TYPED = re.compile(UNIT_PATTERN)


def good(text: str) -> Quantity:
    found = read(text)
    assert isinstance(found, Quantity), found
    return found


def bad(text: str) -> Problem:
    found = read(text)
    assert isinstance(found, Problem), found
    return found


# ---- against the definitions


@pytest.mark.parametrize(
    ("text", "base"),
    [
        # NIST SP 811 B.8, where a factor in bold is exact; lbf and lbf·ft follow from the pound and g_n.
        ("1 lbf", "4.4482216152605"),
        ("1 lbf·ft", "1.3558179483314004"),
        ("1 kgf·m", "9.80665"),
        ("1 atm", "101325"),
        ("1 kgf/cm²", "98066.5"),
        ("1 mmHg", "133.322387415"),
        ("1 in", "0.0254"),
        ("1 lb", "0.45359237"),
        ("1 gal(US)", "0.003785411784"),
        ("1 gal(UK)", "0.00454609"),
        ("1 Btu", "1055.05585262"),
        ("1 hp", "745.69987158227022"),
        ("1 kip", "4448.2216152605"),
        ("1 cSt", "0.000001"),
        ("1 cP", "0.001"),
        ("1 mmH2O", "9.80665"),
        ("1 ft3", "0.028316846592"),
        # SI Brochure, table 8 and chapter 2
        ("1 bar", "100000"),
        ("1 h", "3600"),
        ("1 d", "86400"),
        ("1 t", "1000"),
        ("1 L", "0.001"),
        ("0 °C", "273.15"),
        ("1 N/mm2", "1000000"),
        ("1 kWh", "3600000"),
    ],
)
def test_factors_by_definition_are_exact(text: str, base: str) -> None:
    assert good(text).si == Fraction(base)


@pytest.mark.parametrize(
    ("text", "base", "digits"),
    [
        ("1 psi", "6894.757293168361", 16),  # pound-force by square inch; SP 811 B.8 has 6.894 757 E+03
        ("1 torr", "133.322368421", 12),  # 101325/760; SP 811 B.8 has 1.333 224 E+02
        ("1 inHg", "3386.38864", 9),  # conventional inch of mercury; SP 811 B.8 has 3.386 389 E+03
        ("1 inH2O", "249.0889", 7),  # conventional inch of water, SP 811 B.8
        ("1 ft/min", "0.00508", 7),  # SP 811 B.8, as are the rest
        ("1 lb/ft3", "16.01846", 7),
        ("1 lbf·in", "0.1129848", 7),
        ("1 cfm", "4.719474e-04", 7),
        ("1 gal(US)/min", "6.309020e-05", 7),
        ("1 ksi", "6.894757e06", 7),
        ("1 lbf/in", "175.1268", 7),
    ],
)
def test_factors_to_the_digits_of_the_source(text: str, base: str, digits: int) -> None:
    assert Fraction(rounded(good(text).si, digits)) == Fraction(base)


def test_temperatures() -> None:
    assert good("68 °F") == good("20 °C") == good("293.15 K")  # NIST SP 811 B.8
    assert str(good("20 °C").to("°F")) == "68 °F"
    assert good("9 °F(d)") == good("5 K(d)")  # a difference has no offset
    assert good("-40 °C") == good("-40 °F")
    assert good("32 degF").si == Fraction("273.15")


def test_a_small_threaded_cap() -> None:
    # Common practice, no source: a small threaded cap at 25 lbf·ft is 33.9 N·m.
    cap = good("25 lbf·ft").to("N·m")
    assert str(cap) == "33.9 N·m"
    assert cap.value == 25 * Fraction("1.3558179483314004")


# ---- against pint (test extra), which is told to count in fractions

PINT: dict[str, str] = {
    "μm": "micrometer", "thou": "thou", "cm³": "cm**3", "dm³": "dm**3", "gal(US)": "gallon",
    "gal(UK)": "imperial_gallon", "L": "liter", "t": "metric_ton", "lb": "pound", "lbf": "force_pound",
    "kip": "kip", "kgf": "kilogram_force", "N·m": "N*m", "kN·m": "kN*m", "N·mm": "N*mm", "N·cm": "N*cm",
    "daN·m": "daN*m", "lbf·ft": "force_pound*foot", "lbf·in": "force_pound*inch", "kgf·m": "kilogram_force*m",
    "kgf·cm": "kilogram_force*cm", "J": "joule", "kJ": "kJ", "MJ": "MJ", "W·h": "watt*hour", "kW·h": "kW*hour",
    "Btu": "Btu_it", "hp": "horsepower", "PS": "metric_horsepower", "psi": "psi", "kgf/cm²": "kilogram_force/cm**2",
    "atm": "atm", "torr": "torr", "mmHg": "mmHg", "inHg": "inHg", "mmH₂O": "mm*g_0*gram/cm**3",
    "inH₂O": "inch*g_0*gram/cm**3", "psi/min": "psi/minute", "psi/h": "psi/hour", "ksi": "ksi",
    "N/mm²": "N/mm**2", "kN/mm²": "kN/mm**2", "N/m²": "N/m**2", "lbf/in": "force_pound/inch",
    "K/min": "kelvin/minute", "°F/min": "delta_degF/minute", "°F/h": "delta_degF/hour", "K/h": "kelvin/hour",
    "°F(d)": "delta_degF", "°C(d)": "delta_degC", "K(d)": "kelvin", "min": "minute", "h": "hour", "d": "day",
    "week": "week", "thou/in": "thou/inch", "km/h": "km/hour", "in/s": "inch/s", "ft/min": "foot/minute",
    "ft³/min": "foot**3/minute", "gal(US)/min": "gallon/minute", "gal(UK)/min": "imperial_gallon/minute",
    "m³/h": "m**3/hour", "m³/min": "m**3/minute", "L/min": "liter/minute", "L/h": "liter/hour",
    "mL/min": "mL/minute", "mL/h": "mL/hour", "mm³/s": "mm**3/s", "kg/h": "kg/hour", "t/h": "metric_ton/hour",
    "lb/h": "pound/hour", "g/h": "gram/hour", "Pa·m³/s": "Pa*m**3/s", "mbar·L/s": "mbar*liter/s",
    "lb/ft³": "pound/foot**3", "g/cm³": "gram/cm**3", "kg/L": "kg/liter", "mm²/s": "mm**2/s", "mPa·s": "mPa*s",
    "Ω": "ohm", "mΩ": "milliohm", "kΩ": "kiloohm", "MΩ": "megaohm", "bar/min": "bar/minute", "bar/h": "bar/hour",
    "mbar/min": "mbar/minute", "mbar/h": "mbar/hour", "kPa/min": "kPa/minute", "kPa/h": "kPa/hour",
    "MPa/min": "MPa/minute", "bar": "bar", "mbar": "mbar", "hPa": "hPa", "kPa": "kPa", "MPa": "MPa",
    "in²": "inch**2", "ft²": "foot**2", "ft³": "foot**3", "in³": "inch**3", "mm²": "mm**2", "cm²": "cm**2",
    "m²": "m**2", "mm³": "mm**3", "in": "inch", "ft": "foot", "mm/s": "mm/s", "kHz": "kHz", "mA": "mA",
    "kV": "kV", "mg": "mg", "kW": "kW", "MW": "MW", "MN": "MN", "%": "percent", "ppm": "ppm",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry() -> Any:
    return pint.UnitRegistry(non_int_type=Fraction)


def test_pint_has_the_same_factors(registry: Any) -> None:
    disagree = {}
    for symbol, theirs in PINT.items():
        ours = unit(symbol)
        assert isinstance(ours, Unit), symbol
        measured = (registry.Quantity(Fraction(1), theirs)).to_base_units().magnitude
        if measured != ours.factor:
            disagree[symbol] = (measured, ours.factor)
    assert not disagree
    assert len(PINT) > 90


@pytest.mark.parametrize("degrees", ["-40", "0", "20", "68", "451"])
def test_pint_has_the_same_temperatures(registry: Any, degrees: str) -> None:
    theirs = registry.Quantity(Fraction(degrees), "degF").to("kelvin").magnitude
    assert good(f"{degrees} °F").si == theirs


def test_what_a_general_reader_gets_wrong_without_a_word(registry: Any) -> None:
    # pint reads `45 ± 5 N·m` as a product; here it is refused, and the other two are what they say.
    assert "tolerance" in bad("45 ± 5 N·m").message
    assert good("100 Nm").si == 100
    assert good("6 bar(g)").kind == "pressure-gauge"
    assert good("6 bar(g)").si == 600_000


# ---- the table


def test_no_spelling_stands_for_two_units() -> None:
    names = Counter(name for entry, more in rows() for name in {plain(entry.symbol), *more.split()})
    assert [name for name, times in names.items() if times > 1] == []
    assert max(Counter(entry.symbol for entry, _ in rows()).values()) == 1


def test_spellings_closed_up_never_hide_another_unit() -> None:
    clash = [
        (name, entry.symbol, meant.symbol)
        for entry, more in rows()
        for name in (plain(entry.symbol), *more.split())
        for way in {name, name.replace("·", "")} - {""}
        if (meant := spellings()[way]) != entry
    ]
    assert clash == []


def test_every_kind_has_units_and_its_base_is_one_of_them() -> None:
    assert {entry.kind for entry, _ in rows()} == set(KINDS)
    for kind, (words, base) in KINDS.items():
        assert words == kind_words(kind)
        bases = [entry for entry in units_of(kind) if entry.factor == 1 and not entry.offset]
        assert base == "1" or base in [entry.symbol for entry in bases]
        assert all(entry.factor > 0 for entry in units_of(kind))
    assert {*DIFFERENCES, *DIFFERENCES.values()} <= set(KINDS)
    assert all(not entry.offset for entry in ALL_UNITS if entry.kind != "temperature")


@pytest.mark.parametrize("word", ["ton", "tons", "gal", "gpm", "nm", "C", "F", "rad", "mpa", "M", "scfm"])
def test_words_that_mean_two_things_are_not_units(word: str) -> None:
    assert word not in spellings()
    assert isinstance(unit(word), Problem)


# ---- properties

decimals = st.builds(
    lambda whole, places: str(whole) if not places else f"{whole // 10**places}.{whole % 10**places:0{places}}",
    st.integers(0, 10**12),
    st.integers(0, 9),
)


@given(decimals, st.sampled_from(ALL_UNITS), st.booleans())
def test_what_is_printed_reads_back(digits: str, meant: Unit, negative: bool) -> None:
    physical = meant.kind in ("temperature", "pressure-absolute", "pressure-gauge")
    written = f"-{digits}" if negative and not physical else digits
    q = Quantity(Fraction(written), meant, written)
    again = good(str(q))
    assert (again, again.value, again.unit, again.written) == (q, q.value, q.unit, q.written)


def looks(name: str) -> st.SearchStrategy[str]:
    signs = (st.sampled_from([sign, *(like for like in LOOK_ALIKES.get(sign, ""))]) for sign in name)
    return st.tuples(*signs).map("".join)


@given(st.sampled_from([name for name in spellings() if name and "⁻" not in name]).flatmap(
    lambda name: st.tuples(st.just(name), looks(name))))  # fmt: skip
def test_look_alikes_read_alike_and_match_the_pattern(pair: tuple[str, str]) -> None:
    name, typed = pair
    assert unit(typed) == spellings()[name]
    assert TYPED.fullmatch(typed)


# ---- the pattern for a grammar


@pytest.mark.parametrize("name", [name for name in spellings() if name])
def test_the_pattern_takes_every_spelling_whole(name: str) -> None:
    for behind in ("", " ", ", ", ")", "\n", ".", "+/-5 %", "±5 %"):
        found = TYPED.match(name + behind)
        assert found, name + behind
        assert found[0] == name


@pytest.mark.parametrize("typed", ["min-1", "min⁻¹", "min^-1", "mm^2", "m^3/h", "N*m", "ft-lb", "bar(g)", "µm", "%LEL"])
def test_the_pattern_takes_typed_forms(typed: str) -> None:
    assert TYPED.fullmatch(typed)
    assert isinstance(unit(typed), Unit)


@pytest.mark.parametrize(
    "text", ["mx", "m-thing", "min_", "bar(x)", "N.mx", "x", "M12", "to", "for", "fitter", "mm5", "hold", "operator",
             "ms2", "bar(g)x", "%x", "N·", "kg/", "mm²x", "°Cx", "passes", "cover", "part", "of", "times"]
)  # fmt: skip
def test_the_pattern_takes_no_part_of_a_word(text: str) -> None:
    assert TYPED.match(text) is None


@given(st.text(alphabet="mNbargpsih/.·-*°C%()²³23LEKVd", min_size=1, max_size=8))
def test_what_the_pattern_takes_whole_the_reader_reads(text: str) -> None:
    if TYPED.fullmatch(text):
        assert isinstance(unit(text), Unit)
    elif not text.endswith((".", "-")):
        assert isinstance(unit(text), Problem)


def test_the_patterns_work_in_a_grammar() -> None:
    grammar = f"""
        start: quantity ("to" quantity)? "for" NAME
        quantity: NUMBER UNIT
        NUMBER: /{NUMBER_PATTERN}/
        UNIT: /{UNIT_PATTERN}/
        NAME: /[a-z][\\w-]*/
        %ignore " "
    """
    parser = lark.Lark(grammar, parser="lalr")
    for line, expected in {
        "60 N.m for cover": ["60", "N.m", "cover"],
        "0.8 bar(g) to 1 bar(g) for x": ["0.8", "bar(g)", "1", "bar(g)", "x"],
        "10 min-1 for m": ["10", "min-1", "m"],
        "1-1/2 in for in-line": ["1-1/2", "in", "in-line"],
        "5 m3/h for h": ["5", "m3/h", "h"],
        "-5°C for c": ["-5", "°C", "c"],
    }.items():
        assert [str(token) for token in parser.parse(line).scan_values(lambda v: isinstance(v, str))] == expected
    with pytest.raises(lark.exceptions.LarkError):
        parser.parse("60 N.mx for cover")


# ---- start-up


def test_the_import_brings_nothing_heavy() -> None:
    code = "import sys, procforge.quantities; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {"pint", "difflib", "lark", "pydantic", "procforge.quantities.pattern"} & set(loaded)
