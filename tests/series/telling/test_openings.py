"""What is said before the first coin of a country, a money, a series."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.telling.openings import opening
from series.telling.story import (
    ChangeOfMoney,
    CountryOpening,
    CurrencyOpening,
    Opening,
    PriceTold,
    SeriesOpening,
    UnitTold,
    ValueTold,
)
from series.telling.talk import tell

MARL = (UnitTold("marl", "marls", Fraction(1)), UnitTold("tinne", "tinne", Fraction(100)))
LAW = ChangeOfMoney("marl", "marls", "new marl", "new marls", "10", date(1960, 1, 4))


def texts(of: Opening) -> list[str]:
    return [said.text for said in opening(of)]


def test_a_country_says_its_years_its_money_and_what_it_followed() -> None:
    country = CountryOpening(
        "Halvern", 1919, None, "The islands governed themselves.",
        (("marl", 1919, 1959), ("new marl", 1960, 2004)), ("Halvern, Harbour Board",),
    )  # fmt: skip
    assert texts(country) == [
        "Halvern, from 1919.",
        "Before it came the Harbour Board of Halvern.",
        "The islands governed themselves.",
        "It counted in the marl from 1919 to 1959 and in the new marl from 1960 to 2004.",
    ]


def test_units_are_said_each_by_the_next_larger_one() -> None:
    pound = (
        UnitTold("pound", "pounds", Fraction(1)),
        UnitTold("shilling", "shillings", Fraction(20)),
        UnitTold("penny", "pence", Fraction(240)),
    )
    assert texts(CurrencyOpening("pound", units=pound))[1] == (
        "One pound is twenty shillings and one shilling twelve pence."
    )


@pytest.mark.parametrize(
    ("rate", "said"),
    [
        ("10", "Ten marls became one new marl on 4 January 1960."),
        ("1/2", "One marl became two new marls on 4 January 1960."),
        ("2/5", "Two marls became five new marls on 4 January 1960."),
        ("23.6425", "By law 23.6425 marls became one new marl on 4 January 1960."),
        ("", "The marl gave way to the new marl on 4 January 1960."),
    ],
)
def test_what_became_of_a_money_by_law(rate: str, said: str) -> None:
    assert texts(CurrencyOpening("marl", became=replace(LAW, rate=rate)))[1] == said


def test_a_change_of_money_is_told_once_in_a_talk() -> None:
    told = tell([CurrencyOpening("marl", became=LAW), CurrencyOpening("new", replaced=(LAW,))])
    said = [[s.text for s in at.sentences if s.key.startswith("law")] for at in told]
    assert said == [["Ten marls became one new marl on 4 January 1960."], []]


def test_many_moneys_that_one_replaced_are_counted() -> None:
    laws = tuple(replace(LAW, old=f"money {n}") for n in range(12))
    assert texts(CurrencyOpening("new marl", replaced=laws)) == [
        "The new marl.", "It replaced twelve currencies."
    ]  # fmt: skip


def test_what_money_bought_says_the_amount_once() -> None:
    prices = tuple(
        PriceTold(year, "100 tinne", bought)
        for year, bought in [(1920, "4 loaves"), (1930, "3 loaves"), (1938, "2 loaves"),
                             (1945, "a loaf"), (1951, "half a loaf")]
    )  # fmt: skip
    assert texts(CurrencyOpening("marl", prices=prices))[1] == (
        "In 1920, a hundred tinne bought four loaves; in 1930, three loaves; in 1945, a loaf; "
        "in 1951, half a loaf."
    )


def test_an_index_is_told_by_its_ends() -> None:
    prices = tuple(PriceTold(y, index=Decimal(i)) for y, i in [(2005, 100), (2010, 111),
                                                               (2024, "151.70")])  # fmt: skip
    assert texts(CurrencyOpening("sund", prices=prices))[1] == (
        "The price index stood at 100 in 2005, at 151.7 in 2024."
    )


VALUES = (
    ValueTold("1 tinne", 1931, 1934, held=False),
    ValueTold("5 tinne", 1931, 1958, held=True),
    ValueTold("10 tinne", 1931, 1958, held=False),
    ValueTold("20 tinne", 1946, 1946, held=True),
    ValueTold("1 marl", not_struck=True),
)


def test_a_series_says_what_its_owner_lacks_and_what_ended() -> None:
    of = SeriesOpening(
        "First Marl", "Halvern", "marl", 1931, 1959, units=(("marl", "marls"),), values=VALUES,
        before="Provisional", before_ended=1925,
    )  # fmt: skip
    assert texts(of) == [
        "The First Marl series of Halvern, from 1931 to 1959.",
        "The series before it, the Provisional series, ended in 1925: five years lie between.",
        "Four values, from the one tinne to the twenty tinne.",
        "The one tinne, the lowest value, is not in this collection: it was last struck in 1934.",
        "The twenty tinne was struck in 1946 only.",
        "The ten tinne is not in this collection.",
        "The one-marl piece was not struck in it.",
    ]


def test_one_year_between_two_series() -> None:
    of = SeriesOpening("Reform", first_year=1960, before="First Marl", before_ended=1958)
    assert texts(of)[1].endswith("ended in 1958: one year lies between.")


def test_of_what_nobody_asked_nothing_is_said_to_be_lacking() -> None:
    unasked = tuple(replace(value, held=None) for value in VALUES)
    assert "collection" not in " ".join(texts(SeriesOpening("First Marl", values=unasked)))


# ---- each sentence rests on the fields it cites ----
years = st.sampled_from([None, 1931, 1946, 1959])
names = st.sampled_from(["", "Halvern", "Reform coins", "marl"])
laws = st.builds(replace, st.just(LAW), old=names, rate=st.sampled_from(["", "10", "1/2"]))
opened = st.one_of(
    st.builds(
        CountryOpening, names.filter(bool), years, years, names,
        st.lists(st.tuples(names, years, years), max_size=2).map(tuple),
        st.lists(names, max_size=2).map(tuple),
    ),
    st.builds(
        CurrencyOpening, names.filter(bool), names, years, years, st.sampled_from([(), MARL]),
        names, st.lists(laws, max_size=2, unique_by=lambda law: law.old).map(tuple),
        st.none() | laws,
        st.lists(st.builds(PriceTold, st.just(1931), names, names, st.none() | st.just(
            Decimal(100))), max_size=5).map(tuple),
    ),
    st.builds(
        SeriesOpening, names.filter(bool), names, names, years, years, names,
        st.sampled_from([(), (("marl", "marls"),)]),
        st.lists(st.sampled_from(VALUES), max_size=4, unique=True).map(tuple), names, years,
    ),
)  # fmt: skip


@given(opened, opened, st.integers(0, 20))
def test_changing_a_field_of_an_opening_changes_only_sentences_that_cite_it(
    of: Opening, other: Opening, which: int
) -> None:
    own = [field.name for field in fields(of)]
    name = own[which % len(own)]
    value: Any = getattr(other if type(other) is type(of) else type(of)("Halvern"), name)
    changed = replace(of, **{name: value})
    for sentence in set(opening(of)) ^ set(opening(changed)):
        assert name in sentence.cites, (name, sentence)


@given(opened)
def test_an_opening_has_each_key_once(of: Opening) -> None:
    keys = [said.key for said in opening(of)]
    assert len(keys) == len(set(keys))
