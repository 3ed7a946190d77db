"""Figures of coins in words."""

from __future__ import annotations

from decimal import Decimal

import pytest

from series.text.words import clock_text, plain, year_text, years_text


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("12.00", "12 o'clock"),
        ("0", "12 o'clock"),
        ("6.25", "a quarter past 6"),
        ("0.50", "half past 12"),
        ("11.75", "a quarter to 12"),
        ("12.75", "a quarter to 1"),
    ],
)
def test_a_place_by_the_clock(place: str, said: str) -> None:
    assert clock_text(Decimal(place)) == said


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (1931, 1938, "1931–38"),
        (1900, 1909, "1900–09"),
        (1899, 1901, "1899–1901"),
        (1000, 1002, "1000–02"),
        (990, 999, "990–999"),
        (-43, 14, "44 BC–14"),
        (0, None, "from 1 BC"),
        (None, 0, "to 1 BC"),
    ],
)
def test_years_from_first_to_last(first: int | None, last: int | None, said: str) -> None:
    assert years_text(first, last) == said


def test_the_year_before_the_year_one_is_1_bc() -> None:
    assert [year_text(year) for year in (1, 0, -1)] == ["1", "1 BC", "2 BC"]


@pytest.mark.parametrize(
    ("value", "said"),
    [(100, "100"), (None, ""), (Decimal("0.00"), "0"), (Decimal("1E+2"), "100")],
)
def test_a_figure_keeps_the_noughts_that_count(value: Decimal | int | None, said: str) -> None:
    assert plain(value) == said
