"""How chances are said, and texts of other directions kept in their place."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from catalogue.identifying.chances import LIMITS, in_figures, in_words, said
from catalogue.templatetags.identifying import isolated, verdict_mark


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (1.0, "almost certain, over 99 %"),
        (0.99, "almost certain, 99\u00a0%"),
        (0.93, "very likely, 93\u00a0%"),
        (0.7, "likely, 70\u00a0%"),
        (0.5, "about as likely as not, 50\u00a0%"),
        (0.2, "unlikely, 20\u00a0%"),
        (0.05, "very unlikely, 5\u00a0%"),
        (0.0004, "hardly, under 1 %"),
        (0.0, "hardly, under 1 %"),
    ],
)
def test_a_chance_is_said_in_words_and_figures(chance: float, words: str) -> None:
    assert said(chance) == words


@given(st.floats(0, 1))
@example(0.325)
def test_words_and_figures_never_disagree(chance: float) -> None:
    """The figures shown lie within the limits stated for the word."""
    figures = in_figures(chance)
    shown = {"under 1 %": 0, "over 99 %": 100}.get(figures)
    shown = int(figures.split("\u00a0")[0]) if shown is None else shown
    word = in_words(chance)
    expected = next(str(words) for least, words in LIMITS if shown >= round(least * 100))
    assert word == expected


@given(st.floats(0, 1), st.floats(0, 1))
def test_more_is_never_said_as_less(one: float, other: float) -> None:
    order = [str(words) for _, words in LIMITS]
    low, high = sorted((one, other))
    assert order.index(in_words(high)) <= order.index(in_words(low))


def test_figures_with_an_unread_one_keep_their_order() -> None:
    assert isolated("١٣?٩ is near") == '<bdo dir="ltr">١٣?٩</bdo> is near'
    assert isolated("19?8 and 25?") == "19?8 and 25?"


def test_letters_from_right_to_left_do_not_turn_what_stands_beside_them() -> None:
    assert isolated("no ا, ل or B") == "no <bdi>ا</bdi>, <bdi>ل</bdi> or B"


def test_a_measure_stays_on_one_line_with_its_unit() -> None:
    said = isolated("1.1 g too heavy (2 g read to ± 0.5 g; 10 groats, 9 gulls)")
    assert said == ("1.1\u00a0g too heavy (2\u00a0g read to ±\u00a00.5\u00a0g; 10 groats, 9 gulls)")


def test_isolating_lets_no_markup_through() -> None:
    assert isolated("“<i>”") == "“<bdi>&lt;i&gt;</bdi>”"


def test_marks_differ_in_shape() -> None:
    shapes = {verdict_mark(each).split("aria-hidden")[1] for each in ("for", "against", "neither")}
    assert len(shapes) == 3
