from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.money.legal_rates import (
    CENT,
    EuroRate,
    RateError,
    from_euro,
    into_euro,
    round_half_up,
)


@pytest.mark.parametrize("smallest", ["0", "-0.01"])
def test_sums_are_rounded_to_something(smallest: str) -> None:
    with pytest.raises(RateError, match="more than nothing"):
        round_half_up(Fraction(1, 8), Decimal(smallest))
    with pytest.raises(RateError, match="more than nothing"):
        EuroRate("XXX", Decimal("1.95583"), Decimal(smallest))


@pytest.mark.parametrize(
    ("value", "smallest", "rounded"),
    [
        ("1/200", "0.01", "0.01"),
        ("4999/1000000", "0.01", "0.00"),
        ("5/2", "1", "3"),
        ("-5/2", "1", "-3"),
        ("1/8", "0.05", "0.15"),
        ("1/3", "0.001", "0.333"),
    ],
)
def test_half_up(value: str, smallest: str, rounded: str) -> None:
    found = round_half_up(Fraction(value), Decimal(smallest))
    assert found == Decimal(rounded)
    assert found.as_tuple().exponent == Decimal(rounded).as_tuple().exponent


@given(
    st.fractions(min_value=-(10**12), max_value=10**12),
    st.sampled_from(["0.01", "0.001", "0.05", "1", "5"]),
)
def test_rounded_is_the_nearest_and_a_half_goes_up(value: Fraction, smallest: str) -> None:
    step = Fraction(smallest)
    found = Fraction(round_half_up(value, Decimal(smallest)))
    assert (found / step).denominator == 1
    assert -step / 2 < abs(found) - abs(value) <= step / 2


@given(st.integers(-(10**40), 10**40))
def test_long_sums_keep_every_figure(cents: int) -> None:
    assert Fraction(round_half_up(Fraction(cents, 100), CENT)) == Fraction(cents, 100)


rates = st.integers(100_000, 999_999).flatmap(
    lambda figures: st.sampled_from([Decimal(figures).scaleb(-5), Decimal(figures).scaleb(-3)])
)


@given(rates, st.integers(0, 10**9))
def test_euro_survive_the_way_through_a_smaller_unit(units: Decimal, cents: int) -> None:
    """A sub-unit worth less than a cent is fine enough to come back to the same cent."""
    if units <= 1:
        return
    rate, euro = EuroRate("XXX", units), Decimal(cents) / 100
    assert into_euro(from_euro(euro, rate), rate) == euro


@pytest.mark.parametrize(
    "units", ["1.9558", "1.955830", "0.51129", "340.75", "0", "-1.95583", "NaN", "Infinity"]
)
def test_a_rate_has_six_significant_figures(units: str) -> None:
    with pytest.raises(RateError, match="six significant figures"):
        EuroRate("XXX", Decimal(units))
