"""The hand-out as it is laid out; what is read from its PDF stands in tests/outside."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.geometry import PAPERS, Page
from catalogue.talks.handing_out import words
from catalogue.talks.handing_out.handout import NOTE_LINE, lay_handout
from catalogue.talks.shown import ShownFace, ShownStop
from series.picture.drawing import Drawn
from tests.catalogue.talks.handing_out.talks_by_hand import CAPTION, opening, piece, talk
from tests.placed import overlapping, places

WIDTHS = (16.0, 19.5, 21.0, 23.5, 24.25, 26.0, 28.5, 30.0)


def said(pages: tuple[Page, ...]) -> str:
    return " ".join(" ".join(text.lines) for page in pages for text in page.texts)


def keys(page: Page, key: str) -> list[str]:
    return [" ".join(text.lines) for text in page.texts if text.key == key]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_thirty_stops_with_captions_and_three_opening_pages_take_five_pages(paper: str) -> None:
    coins = [piece(n, WIDTHS[n % len(WIDTHS)]) for n in range(30)]
    stops = [opening(0), *coins[:10], opening(0), *coins[10:20], opening(0), *coins[20:]]
    pages = lay_handout(talk(*(replace(s, number=n) for n, s in enumerate(stops))), PAPERS[paper])
    assert len(pages) <= 5
    assert [page.number for page in pages] == list(range(1, len(pages) + 1))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_stop_is_there_in_order_with_all_that_listeners_read(paper: str) -> None:
    pages = lay_handout(talk(opening(0), *(piece(n) for n in range(1, 9))), PAPERS[paper])
    headings = [text for page in pages for text in keys(page, "heading")]
    assert headings == [f"{n} tinne, 1970" for n in range(1, 9)]
    assert said(pages).count(CAPTION) == 8
    assert said(pages).count("ears of wheat where the net was") == 8
    assert keys(pages[0], "chapter") == ["Marl, 1919–1960"]
    assert "by Marit Sund · 9 stops · coins drawn to true size" in said(pages)


def test_what_the_speaker_says_is_not_on_it() -> None:
    assert "Said to nobody" not in said(lay_handout(talk(piece(0))))


def test_both_faces_stand_beside_each_other_at_their_width() -> None:
    (page,) = lay_handout(talk(piece(0, 21.0), piece(1, 28.0)))
    assert [(c.key, c.r) for c in page.circles] == [
        ("face-1-obverse", 10.5),
        ("face-1-reverse", 10.5),
        ("face-2-obverse", 14.0),
        ("face-2-reverse", 14.0),
    ]
    assert page.circles[0].cx == page.circles[2].cx  # one column for all coins


def test_a_heptagon_takes_the_room_of_its_corners() -> None:
    shape = Drawn(20, outline="square")
    faces = (ShownFace("obverse", "", 20, shape=shape), ShownFace("reverse", "", 20, shape=shape))
    (page,) = lay_handout(talk(piece(0, faces=faces)))
    assert page.circles[0].r == pytest.approx(26.63 / 2, abs=0.01)


def test_each_stop_has_lines_to_write_on_a_hand_apart() -> None:
    (page,) = lay_handout(talk(piece(0, caption="", changed="", under="")))
    ruled = sorted(line.y1 for line in page.lines if line.x1 > page.paper.width / 2)
    assert len(ruled) >= 3
    assert ruled[1] - ruled[0] == pytest.approx(NOTE_LINE)


def test_an_opening_page_is_not_parted_from_the_coin_after_it() -> None:
    for before in range(4, 9):
        coins = [piece(n) for n in range(before)]
        pages = lay_handout(talk(*coins, opening(before), piece(before + 1, heading="after")))
        with_opening = [page for page in pages if keys(page, "chapter")]
        assert "after" in keys(with_opening[0], "heading")


def test_a_story_longer_than_a_page_goes_on_overleaf() -> None:
    pages = lay_handout(talk(opening(0, lines=150), piece(1)))
    assert said(pages).count("loaves") == 150
    assert len(pages) > 2
    assert all(bottom <= page.paper.height - 5 for page in pages for *_rest, bottom in places(page))


@pytest.mark.parametrize("mm", [41.0, 65.0, 95.0])
def test_a_medal_has_a_row_to_itself_and_its_words_beneath(mm: float) -> None:
    (page,) = lay_handout(talk(piece(0, mm)))
    assert [circle.r for circle in page.circles] == [mm / 2, mm / 2]
    lowest = max(circle.cy + circle.r for circle in page.circles)
    assert all(text.y >= lowest for text in page.texts if text.key == "heading")
    assert overlapping(page) == []


def test_a_face_wider_than_the_paper_is_said_not_to_be_drawn() -> None:
    (page,) = lay_handout(talk(piece(0, 250.0)))
    assert page.circles == []
    assert keys(page, "caption")[0] == words.NO_COIN


def test_a_line_of_text_shows_its_picture_and_no_coin() -> None:
    face = ShownFace("other", "the mint", 0.0, src="digest", trimmed=False)
    (page,) = lay_handout(talk(ShownStop(0, "text", "The mint at Saltmouth", faces=(face,))))
    assert page.circles == []
    assert [(picture.name, picture.alt) for picture in page.pictures] == [
        ("face-1-other", "the mint")
    ]


def test_a_line_of_text_alone_begins_where_coins_would_stand() -> None:
    (page,) = lay_handout(talk(piece(0), ShownStop(1, "text", "The mint at Saltmouth")))
    beside, alone = (text for text in page.texts if text.key == "heading")
    assert alone.x == page.circles[0].cx - page.circles[0].r
    assert alone.x < beside.x


def test_a_photograph_that_is_not_trimmed_shows_no_size() -> None:
    """Its scale is not known: with the record's shape the coin is drawn, without one it is a
    picture."""
    bare = ShownFace("obverse", "", 22.0, src="digest", trimmed=False)
    (page,) = lay_handout(talk(piece(0, faces=(bare,))))
    assert page.circles == []
    (page,) = lay_handout(talk(piece(0, faces=(replace(bare, shape=Drawn(22.0)),))))
    assert len(page.circles) == 1


def test_a_type_that_is_missing_is_said_to_be() -> None:
    assert "Saltmouth · not held" in said(lay_handout(talk(piece(0, held=False))))


def test_headings_become_bookmarks_of_three_levels() -> None:
    (page,) = lay_handout(talk(opening(0), piece(1)))
    assert [t.tag for t in page.texts if t.tag != "p"] == ["h1", "h2", "h3"]


sentences = st.text("abc ÅÖ—“”1;,", max_size=300)
stops = st.builds(
    lambda mm, caption, changed, kind: (
        opening(0, caption or "Halvern") if kind == 0
        else piece(0, mm, caption=caption, changed=changed)
    ),
    st.floats(8, 120), sentences, sentences, st.integers(0, 4),
)  # fmt: skip


@given(st.lists(stops, min_size=1, max_size=14), st.sampled_from(sorted(PAPERS)))
def test_nothing_stands_over_anything_else_or_beyond_the_margins(
    found: list[ShownStop], paper: str
) -> None:
    numbered = [replace(stop, number=n) for n, stop in enumerate(found)]
    pages = lay_handout(talk(*numbered), PAPERS[paper])
    for page in pages:
        assert overlapping(page) == []
        for left, top, right, bottom in places(page):
            assert left >= 14 - 1e-6
            assert right <= page.paper.width - 14 + 1e-6
            assert top >= 12 - 1e-6
            assert bottom <= page.paper.height - 5
