"""A schedule on its pages: nothing stands over anything else, and all in its column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.printing.drawing import BAR_GAP
from catalogue.printing.geometry import PAPERS, Page, Paper, Text
from catalogue.printing.lettering import text_width
from tests.placed import overlapping, places
from valuation.schedules import words
from valuation.schedules.contents import Described, PrintedFace, Said
from valuation.schedules.layout import MARGIN_SIDE, PADDING, Entry
from valuation.schedules.paper import lay_schedule

A4 = PAPERS["A4"]
SAID = Said("Schedule 1", "", "", "EUR", 3, Decimal("1234.50"))
FACES = tuple(PrintedFace(side[0], side, side, "8.30") for side in ("obverse", "reverse"))
DEAR = Entry("1", "25 tinne, 1953", (), 3, Decimal("411.50"), Decimal("1234.50"))

phrases = st.text("abcdefgh ijkl mnop", max_size=150).map("a {}".format)
named = st.tuples(st.text("abc d", min_size=1, max_size=30), phrases)
faces = st.sampled_from([(), FACES])
entries = st.builds(
    Entry,
    number=st.integers(1, 9999).map(str),
    title=phrases,
    details=st.lists(phrases, max_size=2).map(tuple),
    pieces=st.integers(1, 9999),
    each=st.none() | st.just(Decimal("9999.99")),
    amount=st.decimals(0, 10**7, places=2),
    pictured=st.booleans(),
    section=st.sampled_from(["", "Pieces below 50.00 EUR each"]),
    faces=faces,
)
described = st.builds(
    Described, st.integers(1, 9999), phrases, faces, st.lists(named), st.lists(named)
)
said = st.builds(
    replace,
    st.just(SAID),
    lead=st.just("A list of coins and their values"),
    running=st.just("Schedule 1, values as of 1 March 2026"),
    insured=phrases,
    facts=st.lists(named, max_size=8),
    closing=st.lists(phrases, max_size=5),
)


def laid(
    *table: Entry, said: Said = SAID, pieces: Sequence[Described] = (), paper: Paper = A4
) -> tuple[Page, ...]:
    return lay_schedule(said, table, pieces, paper)


def found(page: Page, said: str) -> Text:
    """The one text that says just this."""
    (text,) = [text for text in page.texts if text.lines == (said,)]
    return text


@settings(max_examples=50)
@given(
    said,
    st.lists(entries, max_size=8),
    st.lists(described, max_size=2),
    st.sampled_from([*PAPERS.values()]),
)
def test_nothing_stands_over_anything_else_or_beside_the_page(
    said: Said, table: list[Entry], pieces: list[Described], paper: Paper
) -> None:
    for page in laid(*table, said=said, pieces=pieces, paper=paper):
        assert not overlapping(page)
        for left, top, right, bottom in places(page):
            assert left >= MARGIN_SIDE - 1e-6
            assert right <= paper.width - MARGIN_SIDE + 1e-6
            assert 10 <= top < bottom <= paper.height - 5


@settings(max_examples=50)
@given(st.lists(entries, max_size=12))
def test_no_figure_is_wider_than_its_column(table: list[Entry]) -> None:
    for page in laid(*table):
        for text in page.texts:
            assert all(text_width(line, text.lettering) <= text.width for line in text.lines)


@pytest.mark.parametrize("pictured", [False, True])
def test_words_have_all_the_room_between_number_or_pictures_and_the_figures(pictured: bool) -> None:
    (page,) = laid(replace(DEAR, pictured=pictured))
    title, pieces = found(page, DEAR.title), found(page, "Pieces")
    assert title.x == (57 if pictured else 27)  # after 9 mm for the number and 30 for pictures
    assert title.x + title.width == pytest.approx(pieces.x - 3)


def test_each_figure_stands_right_under_its_heading_and_over_its_sum() -> None:
    (page,) = laid(DEAR)
    columns = (("Pieces", "3"), ("Each", "411.50"), ("EUR", "1,234.50"))
    for heading, figure in columns:
        top, *below = (t for t in page.texts if t.lines in {(heading,), (figure,)})
        assert top.lines == (heading,)
        assert len(below) == (1 if heading == "Each" else 2)
        for text in (top, *below):
            assert text.lettering.align == "right"
            assert (text.x, text.width) == (top.x, top.width)
    assert top.x + top.width == A4.width - MARGIN_SIDE


def test_a_sum_carried_forward_stands_in_the_column_of_amounts_alone() -> None:
    first, *_rest = laid(*[DEAR] * 60)
    (carried,) = [t for t in first.texts if t.lines == ("carried forward",)]
    line = [text for text in first.texts if text.y == carried.y]
    amounts = found(first, "EUR")
    assert [text.x for text in line] == [carried.x, amounts.x]
    assert carried.x == found(first, "Piece").x
    assert max(t.y for t in first.texts if t.lettering.name == "title") < carried.y < A4.height


def test_the_words_of_a_row_have_as_much_room_above_as_below() -> None:
    (page,) = laid(replace(DEAR, title="the row above"), DEAR)
    title = found(page, DEAR.title)
    above = max(line.y1 for line in page.lines if line.y1 <= title.y)
    below = min(line.y1 for line in page.lines if line.y1 >= title.y)
    assert title.y - above == pytest.approx(PADDING / 2)
    assert below - title.y - title.height == pytest.approx(PADDING / 2, abs=0.005)


def test_both_faces_of_a_row_stand_side_by_side_between_its_number_and_its_words() -> None:
    (page,) = laid(replace(DEAR, pictured=True, faces=FACES))
    obverse, reverse = page.pictures
    assert obverse.x == 27
    assert obverse.x + obverse.size < reverse.x
    assert reverse.x + reverse.size < found(page, DEAR.title).x
    assert obverse.y == reverse.y


def test_the_name_of_a_face_and_its_bar_stand_right_under_it() -> None:
    *_table, page = laid(pieces=[Described(1, "25 tinne", list(FACES), [], [])])
    for picture, face in zip(page.pictures, FACES, strict=True):
        caption = found(page, face.caption)
        bar = picture.y + picture.size + BAR_GAP
        assert bar < caption.y <= bar + 1
        assert (caption.x, caption.width) == (picture.x, picture.size)
        assert picture.scale == face.scale


@pytest.mark.parametrize("count", [1, 2, 5])
def test_every_short_field_of_a_piece_is_printed_two_abreast(count: int) -> None:
    short = [(f"name {n}", f"words {n}") for n in range(count)]
    *_table, page = laid(pieces=[Described(1, "25 tinne", [], short, [("Grade", "EF")])])
    places = [(found(page, name), found(page, text)) for name, text in short]
    for number, (name, text) in enumerate(places):
        left, _words = places[number - number % 2]
        assert name.y == text.y == left.y
        assert name.x < text.x
        assert (name.x > A4.width / 2) == bool(number % 2)
    assert found(page, "Grade").y > max(name.y for name, _text in places)


def test_facts_stand_below_the_title_with_their_names_on_the_left() -> None:
    facts = [("Owner", "Ana Vestergaard"), ("Insurer", "Northern Mutual")]
    (page,) = laid(DEAR, said=replace(SAID, lead="A list of coins", facts=facts))
    lines = [found(page, text).y for text in ("Schedule 1", "A list of coins", "Owner", "Insurer")]
    assert lines == sorted(set(lines))
    assert lines[-1] < found(page, "Piece").y
    for name, text in facts:
        assert found(page, name).y == found(page, text).y
        assert found(page, name).x < found(page, text).x


def test_what_it_says_and_the_place_to_sign_stay_together() -> None:
    """They go overleaf together where the page is too full for both."""
    said = replace(SAID, insured="Ana", closing=["The values are estimates."] * 3)
    for count in range(1, 40):
        pages = laid(*[DEAR] * count, said=said)
        (last,) = [p for p in pages if any(t.lines == (said.closing[0],) for t in p.texts)]
        assert found(last, "Owner: Ana")
        assert found(last, words.CLOSING_HEAD)
