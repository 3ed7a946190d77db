"""What a schedule says: nothing is said of what is not known."""

from __future__ import annotations

import pytest

from valuation.schedules import words


def test_rates_are_announced_only_where_some_were_used() -> None:
    none = words.closing("50.00 EUR", "0.10 EUR", [], "abc")
    some = words.closing("50.00 EUR", "0.10 EUR", ["1 EUR = 2 GBP"], "abc")
    assert [text for text in none if "Rates used:" in text] == []
    announced = next(place for place, text in enumerate(some) if text.endswith("Rates used:"))
    assert some[announced + 1] == "1 EUR = 2 GBP"
    assert len(some) == len(none) + 1


def test_the_closing_states_its_terms_and_its_digest() -> None:
    said = words.closing("50.00 EUR", "0.10 EUR", [], "abc")
    assert "worth 50.00 EUR or more" in said[1]
    assert "at 0.10 EUR each" in said[1]
    assert said[-1].endswith(": abc")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (words.grade("EF"), "grade EF"),
        (words.grade(""), ""),
        (words.edge("milled"), "edge: milled"),
        (words.edge(""), ""),
        (words.kind("pattern"), "coin, pattern"),
        (words.kind(""), "coin"),
        (words.graded("EF", "Ana", "1 March 2026"), "EF, graded by Ana, 1 March 2026"),
        (words.graded("EF", "Ana", ""), "EF, graded by Ana"),
        (words.measured("mass", "g", "6.11", "0.01"), "mass 6.11 g as measured, to ± 0.01 g"),
        (words.measured("mass", "g", "6.1", ""), "mass 6.1 g as measured"),
    ],
)
def test_what_is_not_known_is_left_out(said: str, expected: str) -> None:
    assert said == expected


def test_the_owner_signs_by_name() -> None:
    assert words.signing("Ana Vestergaard")[1] == "Owner: Ana Vestergaard"
