"""The value of a coin and a country's money, read from one line."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.money.units import AmountError, Unit, write_number
from series.money.value_text import money_of_value, read_coin_value, read_money

MARL = read_money("1 marl = 100 tinne")
# 1 pound = 20 shillings = 240 pence: coinage arithmetic, common practice, no source.
POUND = read_money("pound = 20 shillings = 240 penny/pence")


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ("25 tinne", "25 tinne", Fraction(1, 4)),
        ("  25   TINNE ", "25 tinne", Fraction(1, 4)),
        ("1 marl", "1 marl", Fraction(1)),
        ("marl", "1 marl", Fraction(1)),
        ("2½ tinne", "2½ tinne", Fraction(1, 40)),
        ("1/2 marl", "½ marl", Fraction(1, 2)),
        ("half marl", "half marl", Fraction(1, 2)),
        ("third marl", "third marl", Fraction(1, 3)),
        ("quarter marl", "quarter marl", Fraction(1, 4)),
        ("Double tinne", "Double tinne", Fraction(1, 50)),
        ("5", "5 marl", Fraction(5)),
        ("gull = 12 tinne", "gull", Fraction(3, 25)),
    ],
)
def test_a_value_is_read_as_people_write_it(text: str, name: str, value: Fraction) -> None:
    coin = read_coin_value(text, MARL)
    assert (coin.name, coin.value, coin.unit) == (name, value, None)


def test_several_units_make_one_value() -> None:
    coin = read_coin_value("2 shillings 6 pence", POUND)
    assert (coin.name, coin.value) == ("2 shillings 6 pence", Fraction(1, 8))


def test_a_unit_is_learned_from_what_it_is_said_to_be() -> None:
    coin = read_coin_value("½ crown = 2½ shillings", POUND)
    assert coin.unit is not None
    assert (coin.name, coin.value, coin.unit.name) == ("½ crown", Fraction(1, 8), "crown")
    assert coin.unit.per_main == 4


def test_a_plural_unheard_of_is_learned() -> None:
    coin = read_coin_value("5 marls", MARL)
    assert coin.unit is not None
    assert (coin.name, coin.value, coin.unit.plural) == ("5 marls", Fraction(5), "marls")


@pytest.mark.parametrize(
    ("text", "cure"),
    [
        ("5 ore", "1 ore = 1/100 marl"),
        ("0 tinne", "more than nothing"),
        ("25 tinne = 1 marl", "leave out what follows"),
        ("= 5 tinne", "says no name"),
        ("-5 tinne", "without a sign"),
        ("x" * 90, "at most 80"),
        ("99999999999999999999 marl", "not a number"),
    ],
)
def test_what_is_no_value_is_said_with_the_cure(text: str, cure: str) -> None:
    with pytest.raises(AmountError, match=cure):
        read_coin_value(text, MARL)


@pytest.mark.parametrize("text", ["", "=", "2 marl = 5 tinne", "marl = tinne", "marl = 0 tinne"])
def test_what_is_no_money_is_refused(text: str) -> None:
    with pytest.raises(AmountError):
        read_money(text)


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("1 pound = 20 shillings", [("pound", "", 1), ("shilling", "shillings", 20)]),
        ("dal = 8 os", [("dal", "", 1), ("os", "", 8)]),
        ("dal = 9 oks", [("dal", "", 1), ("oks", "", 9)]),
        ("dal = 9 okes", [("dal", "", 1), ("oke", "okes", 9)]),
        ("dal = 9 oss", [("dal", "", 1), ("oss", "", 9)]),
        ("dal = 1 marl", [("dal", "", 1), ("marl", "", 1)]),
        ("dal = 1/20 marls", [("dal", "", 1), ("marls", "", Fraction(1, 20))]),
        ("penny = 4 farthing/farthings", [("penny", "", 1), ("farthing", "farthings", 4)]),
    ],
)
def test_a_unit_written_as_a_plural_is_kept_with_both_names(
    text: str, units: list[tuple[str, str, int]]
) -> None:
    found = read_money(text).units
    assert [(unit.name, unit.plural, unit.per_main) for unit in found] == units


def test_a_value_that_is_said_to_be_another_is_told_what_it_is() -> None:
    with pytest.raises(AmountError) as refused:
        read_coin_value("25 tinne = 1 marl", MARL)
    assert "'25 tinne' is 25 tinne here, not 1 marl" in str(refused.value)


def test_a_country_begun_with_one_coin_has_its_unit() -> None:
    assert money_of_value("25 tinne").main.name == "tinne"
    assert money_of_value("half crown").main.name == "crown"
    assert money_of_value("25 tinnes").main == Unit("tinne", "tinnes")
    assert money_of_value("1 tinnes").main == Unit("tinnes")
    assert money_of_value("25 oks").main == Unit("oks")
    with pytest.raises(AmountError, match="has no unit"):
        money_of_value("25")


@given(st.fractions(min_value=Fraction(1, 50), max_value=10_000, max_denominator=50))
def test_a_name_that_is_read_again_is_the_same_coin(number: Fraction) -> None:
    coin = read_coin_value(f"{write_number(number)} tinne", MARL)
    assert coin.value == number / 100
    assert read_coin_value(coin.name, MARL) == coin


@given(st.text(max_size=40))
def test_any_text_is_a_value_or_an_error(text: str) -> None:
    try:
        coin = read_coin_value(text, MARL)
    except AmountError:
        return
    assert coin.value > 0
    assert 0 < len(coin.name) <= 80
