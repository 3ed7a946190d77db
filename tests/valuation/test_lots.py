"""Own values follow when a lot is split and when lots are joined."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.holdings.actions import HoldingError, copy, join, split
from catalogue.models import Holding
from valuation.estimates.queries import worths
from valuation.models import Valuation

pytestmark = pytest.mark.django_db

Make = Callable[..., Any]


def total(as_of: date | None = None) -> Decimal:
    """What all holdings that are not in the bin are worth."""
    found = worths(Holding.objects.all(), "EUR", as_of or timezone.localdate())
    return sum((w.total for w in found.values() if w.total is not None), Decimal(0))


@pytest.fixture
def lot(coinage: Any, make_holding: Make, make_value: Make) -> Holding:
    """Seven pieces with two own values and an estimate of their type besides."""
    holding: Holding = make_holding(quantity=7, issue=coinage.issues[0], grade="VF", grade_rank=32)
    make_value("2.00", coin_type=coinage.type)
    make_value("8.00", holding=holding, on=date(2020, 1, 1))
    make_value(None, low=Decimal("9.00"), high=Decimal("12.01"), holding=holding, appraiser="M. V.")
    return holding


@pytest.mark.parametrize("as_of", [None, date(2021, 1, 1)])
def test_worth_in_total_is_the_same_after_a_split_and_after_joining_again(
    lot: Holding, as_of: date | None
) -> None:
    before = total(as_of)
    assert before == 7 * (Decimal("8.00") if as_of else Decimal("10.51"))
    taken = split(lot, 3)
    assert total(as_of) == before
    further = split(lot, 1)
    assert total(as_of) == before
    join([lot, taken, further])
    assert Holding.objects.get().quantity == 7
    assert total(as_of) == before


def test_the_pieces_taken_out_have_the_values_word_for_word(lot: Holding) -> None:
    taken = split(lot, 2)
    said = ("single", "low", "high", "on", "appraiser", "source", "entered_by", "currency")
    assert list(taken.valuations.values_list(*said)) == list(lot.valuations.values_list(*said))


def test_a_value_in_the_bin_is_not_given_to_the_pieces_taken_out(lot: Holding) -> None:
    lot.valuations.filter(appraiser="M. V.").get().bin()
    assert split(lot, 2).valuations.get().single == Decimal("8.00")


def test_joining_again_does_not_double_the_values(lot: Holding) -> None:
    join([lot, split(lot, 3)])
    assert lot.valuations.count() == 2


def test_one_more_like_it_is_another_piece_without_the_values(lot: Holding) -> None:
    assert not copy(lot, quantity=1).valuations.exists()


def test_a_newer_value_of_the_same_amount_comes_along(make_holding: Make, make_value: Make) -> None:
    first, second = make_holding(), make_holding(quantity=2)
    make_value("5.00", holding=first, on=date(2020, 1, 1))
    newer = make_value("5.00", holding=second, on=date(2024, 1, 1), appraiser="M. Vane")
    before = total()
    join([first, second])
    newer.refresh_from_db()
    assert newer.holding == first
    assert total() == before == Decimal("15.00")


def test_lots_without_own_values_are_joined(
    coinage: Any, make_holding: Make, make_value: Make
) -> None:
    make_value("2.00", coin_type=coinage.type)
    lots = [make_holding(quantity=n) for n in (1, 2)]
    join(lots)
    assert total() == Decimal("6.00")


@pytest.mark.parametrize("theirs", ["4.00", None])
def test_lots_with_different_own_values_are_not_joined(
    make_holding: Make, make_value: Make, theirs: str | None
) -> None:
    first, second = make_holding(), make_holding(quantity=2)
    make_value("5.00", holding=first)
    if theirs:
        make_value(theirs, holding=second)
    with pytest.raises(HoldingError, match=r"T\.001 has .*5\.00") as refused:
        join([first, second])
    assert ("4.00" if theirs else "T.002 has no own value") in str(refused.value)
    assert Holding.objects.count() == 2


def test_lots_valued_in_different_currencies_are_not_joined(
    make_holding: Make, make_value: Make
) -> None:
    first, second = make_holding(), make_holding()
    make_value("5.00", holding=first)
    make_value("5.00", holding=second, currency="USD")
    with pytest.raises(HoldingError, match="these differ"):
        join([first, second])


def test_the_page_says_why_they_are_not_joined(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    lots = [make_holding(), make_holding()]
    make_value("5.00", holding=lots[1])
    sent = {"holding": [h.pk for h in lots], "do": "do", "deed": "join", "expected": "2"}
    page = as_member.post("/holdings/bulk/", sent | {"back": "/holdings/?view=list"})
    assert "T.001 has no own value, T.002 has" in page.text
    assert Valuation.objects.get().holding == lots[1]
