"""The rule which value counts, the age of a value, and sums, without a database."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from valuation.estimates.worth import Tally, Value, choose, each, tally, worth

DAY = date(2026, 3, 1)


def value(number: int, on: date = date(2026, 1, 1), **rest: Any) -> Value:
    return Value(number, on, "EUR", Decimal(number), **rest)


@pytest.mark.parametrize(
    ("as_of", "old"),
    [
        (date(2024, 12, 31), False),
        (date(2025, 2, 28), False),
        (date(2025, 3, 1), False),
        (date(2025, 3, 2), True),
        (date(2025, 4, 1), True),
        (date(2026, 1, 1), True),
    ],
)
def test_a_value_is_old_after_five_years(as_of: date, old: bool) -> None:
    assert value(1, date(2020, 3, 1)).old(as_of) == old


def test_the_highest_grade_up_to_the_pieces_own_counts_then_the_newest() -> None:
    newest_any = value(1, date(2026, 2, 1))
    fine, fine_before = value(2, rank=18), value(3, date(2025, 1, 1), rank=18)
    higher = value(4, rank=50)
    values = [fine_before, fine, newest_any, higher]
    assert choose([], [], values, 18, DAY) == fine
    assert choose([], [], values, 49, DAY) == fine
    assert choose([], [], values, 50, DAY) == higher
    assert choose([], [], values, 17, DAY) == newest_any
    assert choose([], [], values, None, DAY) == newest_any


def test_own_values_come_first_and_those_of_the_issue_before_those_of_the_type() -> None:
    own, issue, of_type = value(1, date(2010, 1, 1)), value(2), value(3)
    assert choose([own], [issue], [of_type], None, DAY) == own
    assert choose([], [issue], [of_type], None, DAY) == issue
    assert choose([], [value(4, rank=50)], [of_type], 18, DAY) == of_type
    assert choose([value(5, date(2026, 3, 2))], [], [], None, DAY) is None


def test_of_two_values_of_a_day_the_later_written_counts() -> None:
    assert choose([value(2), value(3), value(1)], [], [], None, DAY) == value(3)


def test_a_piece_without_a_rate_has_no_worth_in_that_money() -> None:
    assert each(Decimal(5), "XTS", "EUR", DAY) is None
    unknown = worth(Value(1, DAY, "XTS", Decimal(5)), 2, "EUR", DAY)
    assert (unknown.each, unknown.total) == (None, None)
    assert "XTS" in str(unknown.no_rate)


def test_pieces_are_summed_by_kind_the_dearest_first_and_the_unknown_last() -> None:
    rows = [
        ("net", 2, Decimal("3.00")),
        ("owl", 5, None),
        ("net", 1, None),
        ("gull", 1, Decimal("8.00")),
        ("arms", 4, Decimal("0.00")),
        ("net", 3, Decimal("2.50")),
        ("bell", 1, None),
    ]
    assert tally(rows) == [
        Tally("gull", 1, 0, Decimal("8.00")),
        Tally("net", 6, 1, Decimal("5.50")),
        Tally("arms", 4, 0, Decimal("0.00")),
        Tally("bell", 1, 1, None),
        Tally("owl", 5, 5, None),
    ]
    assert [each.valued for each in tally(rows)] == [1, 5, 4, 0, 0]
