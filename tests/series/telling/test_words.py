"""Figures, coins and lengths as they are said: common practice of speakers, no source."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.telling import words
from series.text.english import NUMBERS


@given(st.integers(1, 99))
def test_a_number_in_words_adds_up_to_itself(number: int) -> None:
    assert sum(NUMBERS[part] for part in words.number(number).split("-")) == number


@given(st.integers(1, 99), st.integers(1, 99))
def test_no_two_numbers_are_said_alike(one: int, other: int) -> None:
    assert (words.number(one) == words.number(other)) == (one == other)
    assert (words.ordinal(one) == words.ordinal(other)) == (one == other)


@pytest.mark.parametrize(
    ("number", "said"),
    [(1, "first"), (12, "twelfth"), (20, "twentieth"), (22, "twenty-second"), (40, "fortieth"),
     (101, "101st"), (111, "111th"), (113, "113th")],
)  # fmt: skip
def test_which_of_a_row(number: int, said: str) -> None:
    assert words.ordinal(number) == said


@pytest.mark.parametrize(
    ("mm", "said"),
    [
        ("0.25", "a quarter of a millimetre"),
        ("0.5", "half a millimetre"),
        ("0.75", "three quarters of a millimetre"),
        ("0.3", "three tenths of a millimetre"),
        ("0.04", "0.04 millimetres"),
        ("1", "one millimetre"),
        ("1.0000", "one millimetre"),
        ("1.5", "one and a half millimetres"),
        ("16.25", "sixteen and a quarter millimetres"),
        ("23.75", "twenty-three and three quarters millimetres"),
        ("21.209", "about twenty-one millimetres"),
        ("17.907", "about eighteen millimetres"),
    ],
)
def test_a_length_is_said_in_halves_and_quarters(mm: str, said: str) -> None:
    assert words.length(Decimal(mm)) == said


@given(st.decimals(1, 60, places=3))
def test_a_length_said_is_within_a_quarter_of_a_millimetre(value: Decimal) -> None:
    said = words.length(value).removeprefix("about ").split(" millimetre")[0]
    whole, _, part = said.partition(" and ")
    parts = {"": 0, "a quarter": Fraction(1, 4), "a half": Fraction(1, 2),
             "three quarters": Fraction(3, 4)}  # fmt: skip
    heard = sum(NUMBERS[word] for word in whole.split("-")) + parts[part]
    assert abs(Fraction(value) - heard) <= Fraction(1, 4)
    assert words.length(value).startswith("about") == bool(value * 4 % 1)


@pytest.mark.parametrize(
    ("name", "units", "said"),
    [
        ("5 cents", (("US dollar", "US dollars"), ("cent", "cents")), "five-cent piece"),
        ("10 dollars", (("US dollar", "US dollars"),), "ten-dollar piece"),
        ("1 marl", (("marl", "marls"),), "one-marl piece"),
        ("2½ cents", (("cent", "cents"),), "two-and-a-half-cent piece"),
        ("2 euro", (("euro", "euro"),), "two euro"),
        ("500 lire", (("lira", "lire"),), "five-hundred-lira piece"),
        ("½ anna", (), "half anna"),
        ("quarter dollar", (("US dollar", "US dollars"),), "quarter dollar"),
        ("dime", (("dime", "dimes"),), "dime"),
        ("1/0 x", (), "1/0 x"),
    ],
)
def test_a_denomination_as_it_is_said(
    name: str, units: tuple[tuple[str, str], ...], said: str
) -> None:
    assert words.coin(name, units) == said


@pytest.mark.parametrize(
    ("text", "names", "said"),
    [
        ("Head of a fisher girl", [], ", a head of a fisher girl"),
        ("Arms of Halvern", ["arms of Halvern"], ", arms of Halvern"),
        ("Kelp on the ring", ["wreath of kelp"], ", kelp on the ring"),
        ("Two ropes", [], ", two ropes"),
        ("Abraham Lincoln", ["Abraham Lincoln"], ": Abraham Lincoln"),
    ],
)
def test_a_description_follows_on(text: str, names: list[str], said: str) -> None:
    assert words.following(text, names) == said


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Circulating coins", "the Circulating coins"),
        ("Reform", "the Reform series"),
        ("The Lights", "The Lights series"),
    ],
)
def test_a_series_as_it_is_said(name: str, said: str) -> None:
    assert words.series_of(name) == said
