"""Amounts as they are written."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from valuation.money import figures, middle, short, written


@given(st.decimals(0, 10**9, places=2))
def test_figures_read_back_as_the_amount(amount: Decimal) -> None:
    assert Decimal(figures(amount).replace(",", "")) == amount
    assert Decimal(short(amount).replace(",", "")) == amount


@given(st.decimals(0, 10**6, places=2), st.decimals(0, 10**6, places=2))
def test_the_middle_is_as_far_from_both_ends(low: Decimal, high: Decimal) -> None:
    half_way = middle(low, high)
    assert half_way - low == high - half_way


def test_an_amount_is_held_together_with_its_currency() -> None:
    assert written(Decimal("1204"), "CHF") == "CHF\xa01,204.00"
