from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.printing.furniture import Margins
from catalogue.printing.geometry import PAPERS, Page, SheetProblem
from catalogue.printing.ladder import Column, Piece, Rung, lay_ladder
from tests.placed import overlapping, places

M = Margins()
words = st.text("abcdefghäöłЖ 0123456789-", min_size=1, max_size=24)


@st.composite
def ladders(draw: st.DrawFn) -> tuple[list[Column], list[Rung]]:
    number = iter(range(10_000))
    piece = st.builds(
        Piece,
        key=st.builds(lambda: str(next(number))),
        width=st.floats(8, 45),
        caption=words,
        dates=st.lists(st.booleans(), max_size=40).map(tuple),
        held=st.booleans(),
    )
    columns = draw(st.lists(st.builds(Column, words, words, words), min_size=1, max_size=14))
    count = len(columns)
    cells = st.lists(st.lists(piece, max_size=2).map(tuple), min_size=count, max_size=count).map(
        tuple
    )
    rungs = draw(st.lists(st.builds(Rung, words, cells), min_size=1, max_size=10))
    return columns, rungs


def pieces(rungs: list[Rung]) -> list[Piece]:
    return [piece for rung in rungs for cell in rung.cells for piece in cell]


@settings(max_examples=50, deadline=None)
@given(ladders())
def test_every_piece_is_drawn_once_and_all_at_one_scale(ladder) -> None:
    columns, rungs = ladder
    circles = [c for page in lay_ladder("H", columns, rungs) for c in page.circles]
    widths = {piece.key: piece.width for piece in pieces(rungs)}
    assert sorted(c.key for c in circles) == sorted(widths)
    scales = {round(2 * c.r / widths[c.key], 6) for c in circles}
    assert scales in (set(), {1.0}, {0.5})


@settings(max_examples=50, deadline=None)
@given(ladders())
def test_nothing_overlaps_and_all_is_inside_the_page(ladder) -> None:
    columns, rungs = ladder
    for page in lay_ladder("H", columns, rungs, subtitle="x", bought_heading="1 marl bought"):
        assert not overlapping(page)
        for left, _top, right, bottom in places(page):
            assert left >= M.left - 1e-6
            assert right <= page.paper.width - M.right + 1e-6
            assert bottom <= page.paper.height - 5


@settings(max_examples=50, deadline=None)
@given(ladders())
def test_every_date_has_its_square_beside_its_coin(ladder) -> None:
    columns, rungs = ladder
    squares: dict[str, list[str]] = {}
    for page in lay_ladder("H", columns, rungs):
        circles = {c.key: c for c in page.circles}
        for box in page.boxes:
            squares.setdefault(box.key, []).append(box.look)
            assert box.x > circles[box.key].cx + circles[box.key].r
    for piece in pieces(rungs):
        looks = ["full" if held else "empty" for held in piece.dates]
        assert squares.get(piece.key, []) == looks


def table(series: int, denominations: int = 3, width: float = 24.25):
    columns = [Column(f"Series {n}", "1919–1930") for n in range(series)]
    rungs = [
        Rung(f"{d} tinne", tuple((Piece(f"{d}/{n}", width, "bronze"),) for n in range(series)))
        for d in range(denominations)
    ]
    return columns, rungs


def scale_of(page: Page) -> str:
    return next(text.lines[0] for text in page.texts if text.key in ("scale", "running-note"))


def headings(page: Page, key: str) -> list[str]:
    return [" ".join(text.lines) for text in page.texts if text.key == key]


def test_few_series_are_drawn_to_true_size_on_one_page() -> None:
    (page,) = lay_ladder("H", *table(4))
    assert scale_of(page) == "drawn to true size"
    assert {circle.r for circle in page.circles} == {12.125}


def test_more_series_are_reduced_to_fit_one_page_and_say_so() -> None:
    (page,) = lay_ladder("H", *table(6))
    assert scale_of(page) == "drawn at 1:2"


def test_many_series_go_on_over_pages_with_the_denominations_repeated() -> None:
    pages = lay_ladder("H", *table(11))
    assert [len(headings(page, "series")) for page in pages] == [6, 5]
    assert headings(pages[0], "rung") == headings(pages[1], "rung")
    assert {scale_of(page) for page in pages} == {"drawn at 1:2"}


@pytest.mark.parametrize("series", [1, 5, 11])
def test_the_squares_of_a_coin_fill_their_column_and_stay_within_it(series: int) -> None:
    columns, rungs = table(series)
    rungs[0] = Rung("5 tinne", tuple((Piece(str(n), 20, "", (True,) * 60),) for n in range(series)))
    for page in lay_ladder("H", columns, rungs):
        for heading in (text for text in page.texts if text.key == "series"):
            number = heading.lines[0].removeprefix("Series ")
            right = max(box.x + box.width for box in page.boxes if box.key == number)
            assert 0 <= heading.x + heading.width - right < 2.2  # from one square to the next


def test_each_denomination_is_a_heading_of_the_document_once() -> None:
    first, *more = lay_ladder("H", *table(11))
    tags = [[t.tag for t in page.texts if t.key == "rung"] for page in (first, *more)]
    assert tags == [["h2"] * 3, ["p"] * 3]


def test_many_denominations_go_on_over_pages_with_the_series_repeated() -> None:
    pages = lay_ladder("H", *table(3, denominations=12))
    assert len(pages) > 1
    assert all(headings(page, "series") == ["Series 0", "Series 1", "Series 2"] for page in pages)
    assert [rung for page in pages for rung in headings(page, "rung")] == [
        f"{n} tinne" for n in range(12)
    ]


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 40), st.integers(1, 8), st.floats(8, 45), st.booleans())
def test_no_page_of_several_is_left_with_one_row(
    denominations: int, series: int, width: float, bought: bool
) -> None:
    columns, rungs = table(series, denominations, width)
    columns = [replace(column, bought="a loaf" * bought) for column in columns]
    pages = lay_ladder("H", columns, rungs, bought_heading="1 marl bought")
    rows = [len(headings(page, "rung")) + bool(headings(page, "bought")) for page in pages]
    assert denominations == 1 or len(pages) == 1 or min(rows) >= 2
    assert sum(len(headings(page, "rung")) for page in pages) % denominations == 0


def test_a_row_goes_overleaf_rather_than_leave_the_last_one_alone_there() -> None:
    whole = max(n for n in range(1, 20) if len(lay_ladder("H", *table(3, n))) == 1)
    pages = lay_ladder("H", *table(3, whole + 1))
    assert [len(headings(page, "rung")) for page in pages] == [whole - 1, 2]


def test_what_was_not_struck_is_said() -> None:
    (page,) = lay_ladder("H", [Column("Late")], [Rung("1 tinne", ((),))])
    assert headings(page, "absent") == ["not struck"]


def test_what_money_bought_stands_under_its_series() -> None:
    columns = [Column("Old", bought="4 loaves"), Column("New", bought="a match")]
    (page,) = lay_ladder("H", columns, [Rung("1", ((), ()))], bought_heading="1 marl bought")
    series = {text.lines: text.x for text in page.texts if text.key == "series"}
    bought = {text.lines: text.x for text in page.texts if text.key == "bought"}
    assert bought[("4 loaves",)] == series[("Old",)]
    assert bought[("a match",)] == series[("New",)]


def test_a_coin_without_a_diameter_is_named() -> None:
    with pytest.raises(SheetProblem, match="“0 tinne” has no diameter"):
        lay_ladder("H", *table(1, 1, width=0))


def test_a_series_too_wide_for_the_page_is_named() -> None:
    with pytest.raises(SheetProblem, match="“Series 0” does not fit A4 at a scale of 1:2"):
        lay_ladder("H", *table(1, 1, width=500))


def test_a_row_too_high_for_the_page_is_named() -> None:
    with pytest.raises(SheetProblem, match=r"“0 tinne” is 205\.2 mm high"):
        lay_ladder("H", *table(1, 1, width=200), scales=[1.0])


def test_letter_paper_is_kept_to() -> None:
    pages = lay_ladder("H", *table(4), paper=PAPERS["Letter"].turned())
    assert pages[0].paper.width == 279.4
