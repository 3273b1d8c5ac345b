"""The printed limit for an instrument: drawn in by its error, never let out, never asking for what the scale lacks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.model.equipment import Gauge
from procforge.model.procedure import Limit
from procforge.quantities import Quantity, read
from procforge.sheet.field_limits import field_limit


def q(text: str) -> Quantity:
    found = read(text)
    assert isinstance(found, Quantity)
    return found


def gauge(low: str, high: str, accuracy: str) -> Gauge:
    return Gauge.make(kind="gauge", name="PI-1", low=q(low), high=q(high), accuracy=accuracy)


@pytest.mark.parametrize(
    ("low", "high", "instrument", "expected"),
    [
        # EN 837-1: class 1.0 of 0 to 1 bar is 0.01 bar; the lower end is the end of the scale and stays
        ("0 bar(g)", "0.05 bar(g)", gauge("0 bar(g)", "1 bar(g)", "1.0"), ("0 bar(g)", "0.04 bar(g)")),
        ("0 bar(g)", "0.05 bar(g)", gauge("0 bar(g)", "1 bar(g)", "1.6"), ("0 bar(g)", "0.034 bar(g)")),
        ("2 bar(g)", "4 bar(g)", gauge("0 bar(g)", "10 bar(g)", "1.0"), ("2.1 bar(g)", "3.9 bar(g)")),
        # ISO 14253-1, w = U: 10.00 to 10.10 with 0.02 accepts 10.02 to 10.08
        ("10.00 mm", "10.10 mm", gauge("0 mm", "20 mm", "0.1"), ("10.02 mm", "10.08 mm")),
        # another unit of the same kind
        ("0 mbar(g)", "50 mbar(g)", gauge("0 bar(g)", "1 bar(g)", "1.0"), ("0 mbar(g)", "40 mbar(g)")),
    ],
)
def test_a_limit_is_drawn_in_by_the_error(low: str, high: str, instrument: Gauge, expected: tuple[str, str]) -> None:
    found = field_limit(Limit.make(low=q(low), high=q(high)), instrument).limit
    assert found is not None
    assert (str(found.low), str(found.high)) == expected


@pytest.mark.parametrize(
    "instrument",
    [
        None,
        gauge("0 bar(g)", "1 bar(g)", ""),  # no class
        gauge("0 bar(a)", "1 bar(a)", "1.0"),  # counts from elsewhere
        gauge("0 bar(g)", "100 bar(g)", "1.0"),  # too coarse: a finding of its own, and nothing would be left
    ],
)
def test_a_limit_stays_where_nothing_is_known_or_nothing_would_be_left(instrument: Gauge | None) -> None:
    limit = Limit.make(low=q("0 bar(g)"), high=q("0.05 bar(g)"))
    found = field_limit(limit, instrument)
    assert found.limit is limit
    assert found.error is None


numbers = st.integers(1, 900).map(lambda n: Fraction(n, 1000))


@given(numbers, numbers, st.sampled_from(["0.25", "0.6", "1.0", "1.6", "2.5"]))
def test_a_reading_within_the_printed_limit_shows_the_true_one(a: Fraction, b: Fraction, accuracy: str) -> None:
    """Whatever the gauge is off within its class, a reading in the printed limits is a pressure in the true ones."""
    low, high = sorted((a, b))
    instrument = gauge("0 bar(g)", "1 bar(g)", accuracy)
    limit = Limit.make(low=q(f"{float(low)} bar(g)"), high=q(f"{float(high)} bar(g)"))
    found = field_limit(limit, instrument)
    off = Fraction(accuracy) / 100
    if found.error is None:
        return
    assert found.limit is not None
    assert found.limit.low is not None
    assert found.limit.high is not None
    assert found.limit.low.value - off >= low
    assert found.limit.high.value + off <= high
    assert found.limit.low.value <= found.limit.high.value
