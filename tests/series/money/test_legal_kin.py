"""How a coin of the old money stands to one of the new: exact, and without a rate silent."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.money.legal_kin import kinship, read_rate

amounts = st.fractions(F(1, 240), 1000, max_denominator=240)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (F(1, 2), "half its amount"),
        (F(1, 10), "a tenth of its amount"),
        (F(2, 5), "two fifths of its amount"),
        (F(2), "two times its amount"),
        (F(100), "a hundred times its amount"),
        (F(1), ""),
        (F(4000, 94570), "another amount"),
    ],
)
def test_a_share_in_words(share: F, words: str) -> None:
    said = kinship("25 tinne", "25 Tinne", share, F(1), F(1))
    expected = (
        f"of the same name, by law {words}" if words else "of the same name and amount by law"
    )
    assert said == expected


@given(amounts, amounts, amounts)
def test_amounts_are_the_same_when_the_law_makes_them_so(old: F, new: F, rate: F) -> None:
    alike = kinship("1 marl", "10 tinne", old, new, rate)
    assert (alike == "of the same amount by law, under another name") == (old == new * rate)


@pytest.mark.parametrize("text", ["", "ten", "0", "-2", "1/0"])
def test_no_rate_is_read_from_what_is_none(text: str) -> None:
    assert read_rate(text) is None
    assert kinship("1 marl", "10 tinne", F(1), F(1), read_rate(text)) == ""
