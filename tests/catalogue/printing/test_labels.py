from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.printing.geometry import Page, SheetProblem, Text
from catalogue.printing.label_contents import CONTENTS, label_of
from catalogue.printing.label_text import FLOOR, SIZES, Fact, Label
from catalogue.printing.labels import fit_labels, lay_labels, trial_page
from catalogue.printing.lettering import MM_PER_POINT, font_files, text_width
from catalogue.printing.stock import READY_MADE, Stock, slots

NAMES = ("", "reference", "size", "metal", "series", "place", "country", "grade", "accession")
words = st.text("abcdefgäößłЖ 0123456789·-", min_size=1, max_size=22)
facts = st.builds(Fact, words, st.sampled_from(NAMES), strong=st.booleans())
lines_of_facts = st.lists(st.lists(facts, min_size=1, max_size=3).map(tuple), max_size=5)
stock_of = st.sampled_from(READY_MADE)


def label(key: str, *lines: str, code: str = "") -> Label:
    return Label(key, tuple((Fact(line),) for line in lines), code)


def _built(key: str, title: str, lines: list[tuple[Fact, ...]]) -> Label:
    return Label(key, ((Fact(title),), *lines))


labels = st.builds(_built, words, words, lines_of_facts)


def texts(pages: tuple[Page, ...]) -> list[Text]:
    return [text for page in pages for text in page.texts if text.key != "rule"]


@settings(max_examples=60)
@given(st.lists(labels, min_size=1, max_size=30), stock_of, st.integers(1, 14))
def test_every_line_of_text_lies_inside_its_label(
    given_labels: list[Label], stock: Stock, first: int
) -> None:
    pages = lay_labels(given_labels, stock, first)
    places = {}
    for one, slot in zip(given_labels, slots(stock, len(given_labels), first), strict=True):
        places.setdefault(slot.page, []).append((one.key, slot))
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
def test_text_on_a_round_ticket_lies_inside_the_circle(one: Label) -> None:
    stock = next(stock for stock in READY_MADE if stock.round)
    (page,) = lay_labels([one], stock)
    (circle,) = page.circles
    for text in texts((page,)):
        for x in (text.x, text.x + text.width):
            for y in (text.y, text.y + text.height):
                assert math.hypot(x - circle.cx, y - circle.cy) <= circle.r


@given(st.lists(labels, max_size=60), st.integers(1, 24))
def test_each_label_is_printed_once_in_order(given_labels: list[Label], first: int) -> None:
    numbered = [Label(str(number), one.lines) for number, one in enumerate(given_labels)]
    keys = [text.key for text in texts(lay_labels(numbered, READY_MADE[0], first))]
    said = [one.key for one in numbered if any(fact.text.split() for fact in one.facts)]
    assert list(dict.fromkeys(keys)) == said


# ---- one size ----
@settings(max_examples=60)
@given(st.lists(labels, min_size=1, max_size=20), stock_of)
def test_all_labels_of_a_sheet_are_set_in_one_size_from_the_floor_up(
    given_labels: list[Label], stock: Stock
) -> None:
    sizes = {text.lettering.size for text in texts(lay_labels(given_labels, stock))}
    assert len(sizes) <= 1
    assert sizes <= {size for size in SIZES if size >= FLOOR}


@settings(max_examples=60)
@given(st.lists(labels, min_size=1, max_size=20), stock_of)
def test_the_size_is_the_largest_at_which_all_labels_fit(
    given_labels: list[Label], stock: Stock
) -> None:
    """Each label by itself allows the size of the sheet; one of them allows no larger one."""
    alone = [fit_labels([one], stock) for one in given_labels]
    assert fit_labels(given_labels, stock).size == min(fitted.size for fitted in alone)


def test_a_long_label_makes_the_others_smaller_rather_than_be_smaller_alone() -> None:
    long = label("long", "A long title", "and a good many words below it " * 3)
    short = label("short", "1 tinne", "1919")
    stock = next(s for s in READY_MADE if s.name == "5 × 13, 38.1 × 21.2 mm")
    sizes = {text.key: text.lettering.size for text in texts(lay_labels([long, short], stock))}
    assert sizes["long"] == sizes["short"] < SIZES[0]


def test_the_smallest_type_is_larger_than_the_law_asks_of_small_packages() -> None:
    """Regulation (EU) No 1169/2011, Article 13(3): x-height of 0.9 mm or more."""
    with TTFont(font_files()["sans", 400, False]) as font:
        x_height = font["OS/2"].sxHeight / font["head"].unitsPerEm
    assert x_height * FLOOR * MM_PER_POINT > 0.9


# ---- shortened by meaning ----
FACTS = {
    "denomination": "25 tinne",
    "date": "1953 S",
    "country": "Halvern",
    "series": "First Marl",
    "metal": "copper-nickel",
    "size": "5.4 g, 23.5 mm",
    "grade": "EF",
    "reference": "Handbook of the Coins of the Islands, fourth edition, number 117b",
    "accession": "2024.117",
    "place": "Cabinet, drawer 3",
}
SMALL = Stock("A4", 5, 20, 38, 12, left=10, top=10, gap_down=1)


@settings(max_examples=100)
@given(st.lists(labels, min_size=1, max_size=8), st.floats(16, 40), st.floats(7, 20))
def test_a_shortened_label_says_whole_words_of_its_facts_and_no_others(
    given_labels: list[Label], width: float, height: float
) -> None:
    stock = Stock("A4", 4, 10, width, height, left=10, top=10)
    try:
        fitted = fit_labels(given_labels, stock)
    except SheetProblem:
        return  # a label on which nothing fits
    shortened = {said.key for said in fitted.shortened}
    for one, setting in zip(given_labels, fitted.settings, strict=True):
        said = "".join(" ".join(setting.lines).replace("·", "").replace("…", "").split())
        whole = "".join("".join(fact.text for fact in one.facts).replace("·", "").split())
        assert said == whole if one.key not in shortened else len(said) <= len(whole)
        for word in " ".join(setting.lines[setting.titles :]).replace("…", "").split():
            spoken = {part for f in one.facts for w in f.text.split() for part in (w, *pieces(w))}
            spoken |= {part.rstrip("-·") for part in spoken}  # none ends a shortened line
            assert word in spoken or word == "·" or not word.strip("·-")


def pieces(word: str) -> list[str]:
    """What a word may be parted into: after hyphens that follow a letter."""
    parts = re.split(r"(?<=[^\W\d_]-)(?=\w)", word)
    return ["".join(parts[a:b]) for a in range(len(parts)) for b in range(a + 1, len(parts) + 1)]


def test_what_does_not_fit_is_left_out_in_the_order_of_its_worth() -> None:
    expected = {
        24: (),
        20: ("reference",),
        14: ("metal", "size", "reference"),
        12: ("country", "series", "metal", "size", "reference"),
    }
    for height, dropped in expected.items():
        stock = replace(SMALL, rows=10, height=height)
        fitted = fit_labels([label_of(FACTS, CONTENTS["full"])], stock)
        assert [said.dropped for said in fitted.shortened] == [dropped] * bool(dropped)


def test_a_long_fact_keeps_the_words_that_fill_two_lines_before_others_are_left_out() -> None:
    title = " ".join(["A token of the ferry to the outer skerries"] * 6)
    fitted = fit_labels([label_of({**FACTS, "denomination": title}, CONTENTS["short"])], SMALL)
    (said,), (setting,) = fitted.shortened, fitted.settings
    assert said.cut == ("denomination",)
    assert setting.lines[0].startswith("A token of the ferry")
    assert (setting.titles, setting.lines[-1]) == (2, "2024.117")
    assert any(line.endswith("…") for line in setting.lines)


def test_a_fact_is_left_out_only_where_that_helps() -> None:
    """The metal alone is too long: what is less worth than the metal is put back."""
    long = {
        **FACTS,
        "reference": "HB 1",
        "series": "",
        "metal": "an alloy " + "of many metals " * 9,
    }
    content = (("denomination",), ("metal",), ("reference",))
    fitted = fit_labels([label_of(long, content)], replace(SMALL, height=9.5))
    assert fitted.shortened[0].dropped == ("metal",)
    assert fitted.settings[0].lines == ("25 tinne", "HB 1")


def test_a_label_on_which_nothing_fits_is_refused_by_name() -> None:
    with pytest.raises(SheetProblem, match=r"label 2024\.117 does not fit 12 × 6 mm even at 6 pt"):
        fit_labels([label_of(FACTS, CONTENTS["full"])], Stock("A4", 4, 4, 12, 6))


# ---- figures and units, the grade ----
@settings(max_examples=60)
@given(stock_of, st.integers(6, 10**6), st.sampled_from(["tinne", "marl", "shillings"]))
def test_a_figure_is_never_parted_from_its_unit(stock: Stock, figure: int, unit: str) -> None:
    facts_said = {**FACTS, "denomination": f"{figure} {unit}", "metal": f"brass, {figure} {unit}"}
    together = [(str(figure), unit), ("5.4", "g"), ("23.5", "mm"), ("1953", "S")]
    for content in CONTENTS.values():
        said = texts(lay_labels([label_of(facts_said, content)], stock))
        for line in (line.replace(",", " ").split() for text in said for line in text.lines):
            for number, measured in together:
                assert (number in line) == (measured in line)


def test_the_grade_is_strong_and_nothing_else() -> None:
    for content in CONTENTS.values():
        (text,) = texts(lay_labels([label_of(FACTS, content)], READY_MADE[0]))
        assert [text.lines[line][start:end] for line, start, end in text.strong] == ["EF"]


def test_a_middle_dot_is_left_out_where_a_line_breaks() -> None:
    narrow = Stock("A4", 5, 5, 20, 48, left=10, top=10)
    pages = lay_labels([label_of({**FACTS, "reference": ""}, CONTENTS["full"])], narrow)
    lines = [line for text in texts(pages) for line in text.lines]
    assert not any(line.startswith("·") or line.endswith("·") for line in lines)
    assert "Halvern" in lines


# ---- the code ----
@settings(max_examples=40)
@given(stock_of)
def test_a_code_takes_a_quarter_of_the_width_at_most(stock: Stock) -> None:
    coded = [label("1", "1 tinne", "1919", code="https://a.example/1")]
    if stock.round or stock.width / 4 < 11:
        with pytest.raises(SheetProblem, match="QR code"):
            lay_labels(coded, stock)
        return
    (page,) = lay_labels(coded, stock)
    (code,) = [box for box in page.boxes if box.look == "code"]
    assert 11 <= code.width <= stock.width / 4


def test_a_code_has_its_own_room_beside_the_text() -> None:
    (page,) = lay_labels([label("1", "1 tinne", "1919", code="https://a.example/1")], READY_MADE[0])
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
        lay_labels([label("1", "1 tinne", code="https://a.example/1")], stock)


def test_tickets_to_cut_carry_outlines_and_the_rule_and_labels_neither() -> None:
    ticket = next(s for s in READY_MADE if s.cut and not s.round)
    (cut,) = lay_labels([label("1", "1 tinne")], ticket)
    (plain,) = lay_labels([label("1", "1 tinne")], READY_MADE[0])
    assert [box.look for box in cut.boxes] == ["cut"]
    assert cut.lines[0].x2 - cut.lines[0].x1 == 50
    assert plain.boxes == plain.lines == []


def test_no_labels_make_no_pages() -> None:
    assert lay_labels([], READY_MADE[0]) == ()


def test_a_trial_sheet_shows_every_label_and_the_rule() -> None:
    page = trial_page(READY_MADE[0])
    assert len(page.boxes) == 24
    assert page.lines[0].x2 - page.lines[0].x1 == 50
