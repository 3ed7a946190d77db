"""Case cards as they are laid out; type and length against their source stand in tests/outside."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.geometry import PAPERS, Page, SheetProblem
from catalogue.talks.handing_out import words
from catalogue.talks.handing_out.cards import CardSheet, lay_cards
from catalogue.talks.shown import ShownStop
from tests.catalogue.talks.handing_out.talks_by_hand import CAPTION, opening, piece, talk
from tests.placed import overlapping, places


def lines_of(page: Page) -> list[str]:
    return [line for text in page.texts for line in text.lines]


def said(sheet: CardSheet) -> str:
    return " ".join(line for page in sheet.pages for line in lines_of(page))


def test_every_stop_has_a_card_numbered_as_in_the_talk() -> None:
    sheet = lay_cards(talk(opening(0), piece(1), piece(2)), size=14)
    assert [(card.number, card.heading) for card in sheet.cards] == [
        (1, "Marl, 1919–1960"),
        (2, "1 tinne, 1970"),
        (3, "2 tinne, 1970"),
    ]
    assert said(sheet).count("A net of knotted rope over the whole field") == 2
    assert "Said to nobody" not in said(sheet)


def test_the_cards_of_a_row_are_cut_to_one_size() -> None:
    long, short = piece(0), piece(1, caption="")
    sheet = lay_cards(talk(long, short), size=7)
    one, other = sheet.cards
    assert (one.width, one.height) == (other.width, other.height)
    numbers = [text for text in sheet.pages[0].texts if text.key == "number"]
    assert numbers[0].y == numbers[1].y  # one row


def test_the_paper_is_turned_where_that_saves_paper() -> None:
    stops = [piece(n) for n in range(10)]
    widths = {lay_cards(talk(*stops), size).pages[0].paper.width for size in (13.7, 26.2)}
    assert PAPERS["A4"].height in widths


def test_a_card_too_high_for_its_paper_goes_on_and_nothing_is_cut_off() -> None:
    sheet = lay_cards(talk(piece(0)), size=50)
    assert len(sheet.cards) > 1
    assert words.CONTINUED in said(sheet)
    assert [word for word in CAPTION.split() if word not in said(sheet)] == []
    (remark,) = sheet.remarks
    assert remark.number == 1
    assert any("goes on" in sentence for sentence in remark.said)


def test_type_too_large_for_the_paper_is_refused_in_words() -> None:
    with pytest.raises(SheetProblem, match="shorter reading distance"):
        lay_cards(talk(piece(0)), size=250)


def test_lines_shorter_than_the_guidelines_ask_are_told() -> None:
    assert lay_cards(talk(piece(0)), size=14).narrow == 0
    assert 0 < lay_cards(talk(piece(0)), size=50).narrow < 45


def test_marks_stand_beyond_the_cards_at_every_cut() -> None:
    sheet = lay_cards(talk(piece(0), piece(1)), size=14)
    (page,) = sheet.pages
    marks = [line for line in page.lines if line.y2 < page.paper.height - 25]
    left = min(max(line.x1, line.x2) for line in marks if line.y1 == line.y2)
    texts = [text for text in page.texts if text.key in {"card", "number"}]
    assert all(text.x > left for text in texts)
    level = sorted({line.y1 for line in marks if line.y1 == line.y2})
    assert len(level) == 3  # above, between and below two cards
    assert level[1] - level[0] == pytest.approx(sheet.cards[0].height)


text = st.text("ab cdé.; ", max_size=200)
stops = st.builds(
    lambda a, b, c: piece(0, heading=a, under=b, changed="", caption=c), text, text, text
)


@given(st.lists(stops, min_size=1, max_size=6), st.sampled_from([6.0, 13.7, 26.2, 45.0]))
def test_no_card_runs_over_another_and_no_word_is_lost(found: list[ShownStop], size: float) -> None:
    numbered = [replace(stop, number=n) for n, stop in enumerate(found)]
    sheet = lay_cards(talk(*numbered), size)
    for page in sheet.pages:
        assert overlapping(page) == []
        assert all(right <= page.paper.width - 11 for _l, _t, right, _b in places(page))
        assert all(bottom <= page.paper.height - 5 for *_rest, bottom in places(page))
    printed = [
        line
        for page in sheet.pages
        for text in page.texts
        if text.key == "card"
        for line in text.lines
        if line != words.CONTINUED
    ]
    wanted = [part for stop in numbered for part in (stop.heading, stop.under, stop.caption)]
    assert Counter("".join("".join(printed).split())) == Counter("".join("".join(wanted).split()))
