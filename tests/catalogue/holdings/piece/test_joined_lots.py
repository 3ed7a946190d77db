"""What several lots were paid, and in which money, once they are one."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from catalogue.holdings.actions import HoldingError, join
from catalogue.models import Holding

pytestmark = pytest.mark.django_db

Make = Callable[..., Holding]


def lots(make_holding: Make, *paid: str) -> list[Holding]:
    """A lot of two pieces for each text: a price and its currency, either, or neither."""
    made = []
    for text in paid:
        fields: dict[str, Any] = {"quantity": 2}
        for word in text.split():
            if word.isalpha():
                fields["price_currency"] = word
            else:
                fields["price"] = Decimal(word)
        made.append(make_holding(**fields))
    return made


@pytest.mark.parametrize(
    ("paid", "price", "currency"),
    [
        (("2.50 EUR", "4.00 EUR"), "6.50", "EUR"),
        (("", "4.00 USD"), "4.00", "USD"),
        (("4.00 USD", ""), "4.00", "USD"),
        (("", "", "1.25 GBP", "0.75 GBP"), "2.00", "GBP"),
        (("3.00", "4.00 USD"), "7.00", "USD"),
        (("4.00 USD", "3.00"), "7.00", "USD"),
        (("USD", "4.00 USD"), "4.00", "USD"),
        (("", ""), None, ""),
    ],
)
def test_the_price_of_all_stands_in_the_currency_that_was_paid(
    make_holding: Make, paid: tuple[str, ...], price: str | None, currency: str
) -> None:
    kept = join(lots(make_holding, *paid))
    kept.refresh_from_db()
    assert kept.price == (None if price is None else Decimal(price))
    assert kept.price_currency == currency
    assert kept.quantity == 2 * len(paid)


@pytest.mark.parametrize(
    "paid",
    [
        ("2.00 EUR", "3.00 USD"),
        ("2.00 EUR", "1.00 EUR", "3.00 USD"),
        ("", "2.00 EUR", "3.00 USD"),
        ("5.00", "", "2.00 EUR", "3.00 USD"),
    ],
)
def test_sums_of_two_currencies_are_never_added(make_holding: Make, paid: tuple[str, ...]) -> None:
    made = lots(make_holding, *paid)
    with pytest.raises(HoldingError, match="paid in different currencies"):
        join(made)
    said = {(h.pk, h.price, h.price_currency) for h in Holding.objects.all()}
    assert said == {(h.pk, h.price, h.price_currency) for h in made}
