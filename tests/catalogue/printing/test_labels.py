from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.printing.geometry import SheetProblem
from catalogue.printing.labels import Label, lay_labels, trial_page
from catalogue.printing.lettering import text_width
from catalogue.printing.stock import READY_MADE, Stock, slots

words = st.text("abcdefgäößłЖ 0123456789·-", min_size=1, max_size=22)
labels = st.builds(Label, key=words, title=words, lines=st.lists(words, max_size=4).map(tuple))
stock_of = st.sampled_from(READY_MADE)


@settings(max_examples=60)
@given(st.lists(labels, min_size=1, max_size=30), stock_of, st.integers(1, 14))
def test_every_line_of_text_lies_inside_its_label(
    given_labels: list[Label], stock: Stock, first: int
) -> None:
    pages = lay_labels(given_labels, stock, first)
    places = {}
    for label, slot in zip(given_labels, slots(stock, len(given_labels), first), strict=True):
        places.setdefault(slot.page, []).append((label.key, slot))
    for page in pages:
        for text in page.texts:
            if text.key == "rule":
                continue
            holders = [
                slot
                for key, slot in places[page.number]
                if key == text.key
                and slot.x <= text.x
                and text.x + text.width <= slot.x + slot.width + 1e-6
                and slot.y <= text.y
                and text.y + text.height <= slot.y + slot.height + 1e-6
            ]
            assert len(holders) == 1
            for line in text.lines:
                assert text_width(line, text.lettering) <= text.width + 1e-6 or len(line) == 1


@settings(max_examples=60)
@given(labels)
def test_text_on_a_round_ticket_lies_inside_the_circle(label: Label) -> None:
    stock = next(stock for stock in READY_MADE if stock.round)
    (page,) = lay_labels([label], stock)
    (circle,) = page.circles
    texts = [text for text in page.texts if text.key != "rule"]
    for text in texts:
        for x in (text.x, text.x + text.width):
            for y in (text.y, text.y + text.height):
                assert math.hypot(x - circle.cx, y - circle.cy) <= circle.r


@given(st.lists(labels, max_size=60), st.integers(1, 24))
def test_each_label_is_printed_once_in_order(given_labels: list[Label], first: int) -> None:
    numbered = [
        Label(str(number), label.title, label.lines) for number, label in enumerate(given_labels)
    ]
    pages = lay_labels(numbered, READY_MADE[0], first)
    keys = [text.key for page in pages for text in page.texts]
    assert list(dict.fromkeys(keys)) == [
        label.key
        for label in numbered
        if label.title.split() or any(line.split() for line in label.lines)
    ]


def test_one_long_label_does_not_shrink_all_others_below_seven_points() -> None:
    long = Label("long", "A very long title", ("and a great many words below it " * 6,))
    short = Label("short", "1 tinne", ("1919",))
    stock = next(s for s in READY_MADE if s.name == "5 × 13, 38.1 × 21.2 mm")
    (page,) = lay_labels([long, short], stock)
    sizes = {text.key: text.lettering.size for text in page.texts}
    assert sizes["long"] < 7
    assert sizes["short"] == 7


def test_a_text_that_fits_nowhere_is_refused_by_name() -> None:
    with pytest.raises(SheetProblem, match=r"label 2024\.117 does not fit 70 × 37 mm even at 5 pt"):
        lay_labels([Label("2024.117", "x", ("word " * 400,))], READY_MADE[0])


def test_a_code_has_its_own_room_beside_the_text() -> None:
    (page,) = lay_labels([Label("1", "1 tinne", ("1919",), "https://a.example/1")], READY_MADE[0])
    (text,) = page.texts
    (code,) = page.boxes
    assert code.look == "code"
    assert text.x + text.width < code.x
    assert code.x + code.width <= 70 - 5 + 1e-9
    assert code.width == code.height >= 11


@pytest.mark.parametrize(
    ("stock", "sentence"),
    [
        (Stock("A4", 5, 20, 38, 12, gap_down=1), "A QR code needs 11 mm"),
        (next(s for s in READY_MADE if s.round), "A round ticket has no room for a QR code"),
    ],
)
def test_a_code_without_room_is_refused(stock: Stock, sentence: str) -> None:
    with pytest.raises(SheetProblem, match=sentence):
        lay_labels([Label("1", "1 tinne", (), "https://a.example/1")], stock)


def test_tickets_to_cut_carry_outlines_and_the_rule_and_labels_neither() -> None:
    ticket = next(s for s in READY_MADE if s.cut and not s.round)
    (cut,) = lay_labels([Label("1", "1 tinne")], ticket)
    (plain,) = lay_labels([Label("1", "1 tinne")], READY_MADE[0])
    assert [box.look for box in cut.boxes] == ["cut"]
    assert cut.lines[0].x2 - cut.lines[0].x1 == 50
    assert plain.boxes == plain.lines == ()


def test_no_labels_make_no_pages() -> None:
    assert lay_labels([], READY_MADE[0]) == ()


def test_a_trial_sheet_shows_every_label_and_the_rule() -> None:
    page = trial_page(READY_MADE[0])
    assert len(page.boxes) == 24
    assert page.lines[0].x2 - page.lines[0].x1 == 50
