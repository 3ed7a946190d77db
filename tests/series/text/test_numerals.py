"""The numeral drawn on a coin."""

from __future__ import annotations

import pytest

from series.text.numerals import numeral


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("25 tinne", "25"),
        ("1,000 marls", "1,000"),
        ("1. marl", "1"),
        ("½ marl", "½"),
        ("2 ½ marls", "2½"),
        ("1/2 marl", "½"),
        ("1 1/2 marls", "1½"),
        ("3/7 marl", "3/7"),
        ("2 3/7 marls", "2 3/7"),
        ("half marl", "½"),
        ("Halfpenny", "½"),
        ("twopence", "2"),
        ("twenty-five tinne", "25"),
        ("five-marl piece", "5"),
        ("penny", ""),
        ("", ""),
    ],
)
def test_the_number_that_opens_a_name(name: str, drawn: str) -> None:
    assert numeral(name) == drawn
