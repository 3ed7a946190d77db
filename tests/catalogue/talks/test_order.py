"""Proposed orders and opening pages; by common practice, no source."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from catalogue.talks.order import ORDERS, Coin, in_order, openings

COINS = st.lists(
    st.builds(
        Coin,
        key=st.integers(),
        country=st.sampled_from(("", "Halvern", "Ouran")),
        money=st.sampled_from(("marl", "new marl", "sahm")),
        money_from=st.sampled_from((None, 1919, 1960)),
        denomination=st.sampled_from(("5 tinne", "25 tinne", "1 marl")),
        value=st.sampled_from((0.05, 0.25, 1.0)),
        series=st.sampled_from(("First", "Reform")),
        series_from=st.sampled_from((None, 1931, 1960)),
        type_from=st.sampled_from((None, 1931, 1977)),
        struck=st.sampled_from((None, 1935, 1980)),
        diameter=st.sampled_from((None, 18.0, 23.5)),
        metal=st.sampled_from(("", "bronze", "zinc")),
        motif=st.sampled_from(("", "gull")),
    ),
    max_size=12,
)


@given(COINS, st.sampled_from(ORDERS))
def test_every_coin_is_shown_once(coins: list[Coin], order: str) -> None:
    assert sorted(map(repr, in_order(coins, order))) == sorted(map(repr, coins))


@given(COINS, st.booleans())
def test_each_opening_page_stands_once_and_before_its_first_coin(
    coins: list[Coin], with_series: bool
) -> None:
    found = openings(coins, with_series)
    assert [at for _kind, at in found] == sorted(at for _kind, at in found)
    countries = [coins[at].country for kind, at in found if kind == "country"]
    assert countries == list(dict.fromkeys(coin.country for coin in coins if coin.country))
    money = [coins[at].money for kind, at in found if kind == "currency"]
    assert money == list(dict.fromkeys(coin.money for coin in coins if coin.country))
    assert with_series or all(kind != "series" for kind, _at in found)


def test_a_value_is_followed_across_a_change_of_money() -> None:
    def coin(name: str, money: str, since: int, value: float) -> Coin:
        return Coin(f"{name} {money}", "Halvern", money, since, name, value, money, since)

    coins = [
        coin("50 tinne", "new marl", 1960, 0.5),
        coin("1 marl", "marl", 1919, 1.0),
        coin("25 tinne", "new marl", 1960, 0.25),
        coin("25 tinne", "marl", 1919, 0.25),
        coin("1 marl", "new marl", 1960, 1.0),
        coin("1 crown", "crown", 1890, 1.0),
    ]
    assert [each.key for each in in_order(coins, "ladder")] == [
        "1 crown crown",
        "25 tinne marl",
        "25 tinne new marl",
        "50 tinne new marl",
        "1 marl marl",
        "1 marl new marl",
    ]


def test_what_is_not_recorded_comes_last() -> None:
    known = Coin("known", "Halvern", struck=1931, diameter=20.0, metal="bronze", motif="gull")
    blank = Coin("blank")
    for order in ORDERS:
        assert [coin.key for coin in in_order([blank, known], order)] == ["known", "blank"]
