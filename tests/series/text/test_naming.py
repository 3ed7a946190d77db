"""Names joined so that nothing is said twice."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.text.folding import fold
from series.text.naming import joined, said_once


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (("Halvern, Harbour Board", "Harbour Board"), "Halvern, Harbour Board"),
        (("Harbour Board", "Halvern, Harbour Board"), "Halvern, Harbour Board"),
        (("Halvern", "Halvern, Harbour Board"), "Halvern, Harbour Board"),
        (("Halvern", "Halvern, Harbour Board", "Harbour Board"), "Halvern, Harbour Board"),
        (("Halvern", "halvern"), "Halvern"),
        (("Halvern", "Halverness"), "Halvern, Halverness"),
        (("Halvern", "First series", "1931–59"), "Halvern, First series, 1931–59"),
        (("Halvern, North", "North, Provisional"), "Halvern, North, Provisional"),
        (("5 crowns", "5"), "5 crowns, 5"),
        (("", "Halvern", ""), "Halvern"),
        (("★", "Halvern"), "★, Halvern"),
        ((), ""),
    ],
)
def test_what_is_said_of_several_names(names: tuple[str, ...], said: str) -> None:
    assert joined(*names) == said


def test_a_name_left_out_keeps_its_place() -> None:
    assert said_once(["Halvern, Harbour Board", "Harbour Board", "1894"]) == [
        "Halvern, Harbour Board",
        "",
        "1894",
    ]


NAMES = st.lists(st.sampled_from(["Halvern", "Sund", "Sund Harbour", "Halvern, Sund", "1894"]))


@given(NAMES)
def test_no_part_is_said_twice_and_no_word_is_lost(names: list[str]) -> None:
    said = joined(*names)
    parts = [fold(part) for part in said.split(", ") if part]
    assert len(parts) == len(set(parts))
    assert {word for name in names for word in fold(name).split()} == set(fold(said).split())
