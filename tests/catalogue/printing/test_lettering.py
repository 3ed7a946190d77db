from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing import album, furniture, ladder, ladder_columns
from catalogue.printing.lettering import Lettering, longest_word, text_width, wrap
from valuation.schedules import layout, paper

SANS = Lettering("t", "sans", 8)
texts = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=80)


@given(texts, st.floats(5, 80))
def test_no_line_is_wider_than_asked_but_a_single_character(text: str, width: float) -> None:
    for line in wrap(text, SANS, width):
        assert text_width(line, SANS) <= width or len(line) == 1


@given(texts, st.floats(5, 80))
def test_wrapping_loses_nothing_but_spaces(text: str, width: float) -> None:
    assert "".join("".join(wrap(text, SANS, width)).split()) == "".join(text.split())


# Two ideographs beside each other are two words to a line.
WITHOUT_IDEOGRAPHS = texts.filter(lambda text: not re.search("[぀-ヿ㐀-鿿豈-\ufaff]{2}", text))


@given(WITHOUT_IDEOGRAPHS)
def test_a_width_of_the_longest_word_breaks_no_word(text: str) -> None:
    lines = wrap(text, SANS, longest_word(text, SANS) + 1e-9)
    assert " ".join(lines).replace("- ", "-").split() == text.replace("- ", "-").split()


def test_a_word_is_broken_after_its_hyphen() -> None:
    assert wrap("copper-nickel", SANS, 12) == ("copper-", "nickel")


def test_a_number_is_not_broken_after_a_hyphen() -> None:
    assert wrap("on 1931-38 coins", SANS, 9) == ("on", "1931-3", "8 coins")


def test_a_line_feed_begins_a_line() -> None:
    assert wrap("1953\nEF", SANS, 50) == ("1953", "EF")


def test_combining_marks_take_no_room() -> None:
    assert text_width("e\u0301", SANS) == text_width("e", SANS)


@pytest.mark.parametrize("family", ["serif", "sans"])
@pytest.mark.parametrize("weight", [400, 600])
@pytest.mark.parametrize("italic", [False, True])
def test_figures_are_of_one_width(family: str, weight: int, italic: bool) -> None:
    lettering = Lettering("t", family, 10, weight=weight, italic=italic)
    assert len({text_width(figure, lettering) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("module", [album, furniture, ladder, ladder_columns, layout, paper])
def test_no_line_of_a_sheet_is_set_too_small_or_too_close_to_the_one_above(module: object) -> None:
    """Lines from 1.1 to 1.5 times the size apart, 7 points at the least: common practice, no
    source."""
    ways = [way for way in vars(module).values() if isinstance(way, Lettering)]
    assert ways
    for way in ways:
        assert 1.1 <= way.leading <= 1.5, way.name
        assert way.size >= 7, way.name
