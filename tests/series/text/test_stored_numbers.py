"""Numbers in texts from outside, up to what a database stores."""

from __future__ import annotations

import pytest

from series.text.stored_numbers import record_number, whole_number


@pytest.mark.parametrize(
    ("text", "number"),
    [("0", 0), ("-0", 0), ("007", 7), ("-12", -12), ("9" * 18, 10**18 - 1), ("9" * 19, None),
     ("", None), ("-", None), ("--1", None), ("+1", None), (" 1", None), ("1\n", None),
     ("1_0", None), ("1e3", None), ("२", None), (12, 12)],
)  # fmt: skip
def test_a_whole_number(text: object, number: int | None) -> None:
    assert whole_number(text) == number


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("1", 1), ("-1", None), ("x", None)])
def test_the_number_of_a_record_is_not_negative(text: str, number: int | None) -> None:
    assert record_number(text) == number
