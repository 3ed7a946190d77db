"""A denomination followed across a change of money, by its name and by its amount in law."""

from __future__ import annotations

import pytest
from django.test import Client

from series.models import CoinType, Currency, Denomination, Issuer, Series
from tests.conftest import Coinage
from tests.series.coinage_maker import add_series, add_type
from tests.series.types.test_pages import later_type, page


def test_a_denomination_leads_to_its_like_in_the_money_after(
    as_member: Client, coinage: Coinage
) -> None:
    new = Currency.objects.create(key="new-marl", name="new marl")
    Denomination.objects.create(key="new-25", currency=new, name="25 tinne", value_numerator=1)
    Currency.objects.filter(pk=coinage.currency.pk).update(successor=new)
    assert "25 tinne of the new marl" in page(as_member, "denomination", "testland-25-tinne")
    assert "25 tinne of the marl" in page(as_member, "denomination", "new-25")


@pytest.mark.parametrize(
    ("key", "words"),
    [("new-coin", "a tenth of its amount"), ("testland-25-tinne", "ten times its amount")],
)
def test_its_like_in_another_money_is_said_as_what_it_is(
    as_member: Client, coinage: Coinage, key: str, words: str
) -> None:
    money_after(coinage, "10", "25 tinne", "1/4")
    html = page(as_member, "denomination", key)
    nav = html[html.index('aria-label="In other money"') :]
    assert f"of the same name, by law {words}</span>" in nav


def money_after(coinage: Coinage, rate: str, name: str, value: str) -> CoinType:
    """The first coin of a new money, so many old units to one of it."""
    new = Currency.objects.create(key="new-marl", name="new marl")
    Currency.objects.filter(pk=coinage.currency.pk).update(successor=new, rate=rate)
    over, _, under = value.partition("/")
    value_of = {"value_numerator": int(over), "value_denominator": int(under or 1)}
    coin = Denomination.objects.create(key="new-coin", currency=new, name=name, **value_of)
    reform = add_series(coinage, "reform", 1960, 1988)
    reform.currency = new
    reform.save()
    return later_type(coinage, key="new-type", denomination=coin, series=reform)


@pytest.mark.parametrize(
    ("rate", "name", "value", "words"),
    [
        ("10", "25 tinne", "1/4", "of the same name, by law a tenth of its amount."),
        ("10", "half tinne", "1/40", "of the same amount by law, under another name."),
        ("1", "25 tinne", "1/4", "of the same name and amount by law."),
        ("", "25 tinne", "1/4", "of the same name."),
    ],
)
@pytest.mark.parametrize("name_of_page", ["type", "denomination"])
def test_the_first_coin_of_a_new_money_is_compared_with_the_old_one(
    as_member: Client, coinage: Coinage, name_of_page: str, rate: str, name: str, value: str,
    words: str,
) -> None:  # fmt: skip
    money_after(coinage, rate, name, value)
    keys = {"type": "new-type", "denomination": "new-coin"}
    html = page(as_member, name_of_page, keys[name_of_page])
    assert "The first of its denomination in the new marl." in html
    assert f'<a href="/types/testland-first-25/">25 tinne of the marl</a>, {words}' in html
    assert "Smaller by one and a half millimetres, and steel where it was copper-nickel." in html


def test_a_coin_with_neither_name_nor_amount_in_the_old_money_says_so(
    as_member: Client, coinage: Coinage
) -> None:
    money_after(coinage, "10", "1 marl", "1")
    html = page(as_member, "type", "new-type")
    assert "No coin of an older money is recorded to compare it with." in html


def test_of_the_old_money_the_coin_struck_last_is_compared(
    as_member: Client, coinage: Coinage
) -> None:
    wartime = {"key": "wartime", "denomination": coinage.denomination, "metal": "zinc"}
    add_type(coinage, 25, first_year=1942, last_year=1944, **wartime)
    money_after(coinage, "10", "25 tinne", "1/4")
    assert '<a href="/types/testland-first-25/">25 tinne of the marl' in page(
        as_member, "type", "new-type"
    )


def test_coins_of_another_country_are_not_taken_for_the_old_money(
    as_member: Client, coinage: Coinage
) -> None:
    later = money_after(coinage, "10", "25 tinne", "1/4")
    other = Issuer.objects.create(key="another", name="Another")
    Series.objects.filter(pk=later.series_id).update(issuer=other)
    sentence = "No coin of an older money is recorded to compare it with."
    assert sentence in page(as_member, "type", "new-type")
    other.predecessors.add(coinage.issuer)
    assert sentence not in page(as_member, "type", "new-type")
