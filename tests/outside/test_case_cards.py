"""Type and length of case cards against published figures.

Smithsonian Guidelines for Accessible Exhibition Design: a sentence of at most 25 words, a label of
at most 75, a line of 45 to 55 characters; heights of x of 9 mm at 1 m, 19 mm at 2 m and 28 mm at
3 m (the heights from memory). Legibility: 20 to 22 minutes of arc, 5.8 to 6.4 mm at 1 m (CRC
handbook). Size of type in a PDF: ISO 32000-1, 9.3 and 9.4; heights of letters: the outlines of the
font itself.
"""

from __future__ import annotations

import io

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.geometry import PAPERS
from catalogue.printing.lettering import MM_PER_POINT, font_files
from catalogue.talks.handing_out.card_type import (
    CARD,
    accessible_x_height,
    legible_capital,
    longest_sentence,
    sentences,
    sizes_for,
    words_in,
)
from catalogue.talks.handing_out.cards import lay_cards
from catalogue.talks.shown import ShownStop, ShownTalk
from tests.outside.test_label_type import sizes_and_fonts
from tests.outside.test_true_scale import pdf_of

WORDS = (
    "the",
    "net",
    "was",
    "drawn",
    "in",
    "by",
    "four",
    "men",
    "and",
    "laid",
    "upon",
    "a",
    "quay",
)


def drawn_height(letter: str, points: float) -> float:
    """How high a letter of the cards' font is printed, mm, by its outline."""
    font = TTFont(io.BytesIO(font_files()["sans", 400, False].read_bytes()))
    glyphs = font.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord(letter)]].draw(pen)
    return float(pen.bounds[3]) / font["head"].unitsPerEm * points * MM_PER_POINT


@pytest.mark.parametrize(("metres", "mm"), [(1, 9), (2, 19), (3, 28)])
def test_a_small_x_is_as_high_as_the_guidelines_ask(metres: int, mm: float) -> None:
    assert accessible_x_height(metres * 1000) == mm
    assert drawn_height("x", sizes_for(metres * 1000, CARD).accessible) == pytest.approx(
        mm, rel=0.01
    )


@pytest.mark.parametrize(("minutes", "mm"), [(20, 5.8), (22, 6.4)])
def test_a_capital_that_can_just_be_read_is_as_high_as_the_handbook_says(
    minutes: float, mm: float
) -> None:
    assert legible_capital(1000, minutes) == pytest.approx(mm, abs=0.05)


def test_the_larger_of_the_two_is_printed() -> None:
    assert drawn_height("H", sizes_for(1000, CARD).legible) == pytest.approx(6.4, abs=0.05)


@given(st.floats(200, 5000), st.floats(200, 5000))
def test_farther_is_never_smaller_and_legible_is_smaller_than_accessible(
    one: float, other: float
) -> None:
    near, far = sorted((one, other))
    assert accessible_x_height(near) <= accessible_x_height(far)
    sizes = sizes_for(near, CARD)
    assert sizes.legible < sizes.accessible


def label(*lengths: int) -> str:
    """Sentences of so many words."""
    said = []
    for length in lengths:
        words = [WORDS[n % len(WORDS)] for n in range(length)]
        said.append(" ".join(words).capitalize() + ".")
    return " ".join(said)


def remarks(caption: str) -> list[str]:
    stop = ShownStop(2, "piece", "25 tinne", caption=caption)
    sheet = lay_cards(ShownTalk("First Marl", stops=(stop,)), size=12)
    return [said for remark in sheet.remarks for said in remark.said]


def test_twenty_five_words_a_sentence_and_seventy_five_a_label_pass() -> None:
    assert remarks(label(25, 25, 23)) == []  # two more stand in the heading


def test_one_word_more_is_said() -> None:
    assert remarks(label(26)) == ["a sentence of 26 words (at most 25)"]
    assert remarks(label(25, 25, 24)) == ["76 words in all (at most 75)"]


@given(st.lists(st.integers(1, 40), min_size=1, max_size=6))
def test_sentences_and_their_words_are_counted(lengths: list[int]) -> None:
    text = label(*lengths)
    assert [words_in(one) for one in sentences(text)] == lengths
    assert longest_sentence([text]) == max(lengths)


@given(st.text(max_size=200))
def test_no_word_is_lost_between_sentences(text: str) -> None:
    assert " ".join(sentences(text)).split() == text.split()


@pytest.mark.parametrize("size", [9.0, 14.0, 22.0])
def test_lines_hold_45_to_55_characters_where_the_paper_allows(size: float) -> None:
    stops = tuple(ShownStop(n, "piece", "25 tinne", caption=label(24, 24)) for n in range(6))
    sheet = lay_cards(ShownTalk("First Marl", stops=stops), size=size)
    lines = [
        line
        for page in sheet.pages
        for text in page.texts
        if text.lettering.name == "card"
        for line in text.lines
    ]
    assert max(map(len, lines)) <= 55
    assert max(map(len, lines)) >= 45
    assert sheet.narrow == 0


def test_the_type_in_the_pdf_is_of_the_computed_size() -> None:
    size = sizes_for(500, CARD).accessible
    stop = ShownStop(0, "piece", "25 tinne", caption=label(20))
    sheet = lay_cards(ShownTalk("First Marl", stops=(stop,)), size, PAPERS["A4"])
    shown, _fonts = sizes_and_fonts(pdf_of(sheet.pages))
    assert any(points == pytest.approx(size, abs=0.05) for points in shown)
