from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.geometry import PAPERS, SheetProblem
from catalogue.printing.stock import READY_MADE, Stock, misfits, slots, ticket_stock

lengths = st.decimals("0.5", "120", places=1).map(float)
stocks = st.builds(
    Stock,
    paper=st.sampled_from(sorted(PAPERS)),
    columns=st.integers(1, 8),
    rows=st.integers(1, 15),
    width=lengths,
    height=lengths,
    left=st.floats(0, 30),
    top=st.floats(0, 30),
    gap_across=st.floats(0, 10),
    gap_down=st.floats(0, 10),
)


@pytest.mark.parametrize("stock", READY_MADE, ids=lambda stock: stock.name)
def test_ready_made_measures_fit_their_paper(stock: Stock) -> None:
    assert misfits(stock) == []


@pytest.mark.parametrize("stock", READY_MADE, ids=str)
def test_ready_made_sheets_leave_no_room_for_another_column(stock: Stock) -> None:
    assert stock.across + stock.gap_across + stock.width > PAPERS[stock.paper].width


def test_names_are_measures() -> None:
    assert READY_MADE[0].name == "3 × 8, 70 × 37 mm"
    assert ticket_stock("A4", "round", 35.5).name == "round tickets of 35 mm, 5 × 7"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"columns": 4, "width": 60, "gap_across": 2},
            "4 columns of 60 mm and 3 gaps of 2 mm need 246 mm; A4 is 210 mm wide.",
        ),
        (
            {"columns": 2, "width": 104, "gap_across": 2.5},
            "2 columns of 104 mm and a gap of 2.5 mm need 210.5 mm; A4 is 210 mm wide.",
        ),
        ({"columns": 4}, "4 columns of 70 mm need 280 mm; A4 is 210 mm wide."),
        (
            {"columns": 1, "width": 211},
            "A label 211 mm wide does not fit; A4 is 210 mm wide.",
        ),
        (
            {"left": 1.5},
            "A left margin of 1.5 mm and 210 mm of labels need 211.5 mm; A4 is 210 mm wide.",
        ),
        ({"rows": 9}, "9 rows of 37 mm need 333 mm; A4 is 297 mm high."),
        (
            {"rows": 1, "height": 300},
            "A label 300 mm high does not fit; A4 is 297 mm high.",
        ),
        (
            {"top": 4},
            "A top margin of 4 mm and 296 mm of labels need 300 mm; A4 is 297 mm high.",
        ),
        ({"rows": 0}, "There must be at least one row and one column."),
        ({"width": 0}, "A label must be wider and higher than 0 mm."),
        ({"width": math.nan}, "A label must be wider and higher than 0 mm."),
        ({"gap_down": -1}, "A margin or a gap cannot be below 0 mm."),
        ({"round": True}, "A round label is as wide as it is high, not 70 × 37."),
        ({"paper": "A9"}, "A9 is not a paper we know: choose A4 / Letter."),
    ],
)
def test_a_misfit_is_named(change: dict[str, float], sentence: str) -> None:
    good = {
        "paper": "A4",
        "columns": 3,
        "rows": 8,
        "width": 70,
        "height": 37,
        "left": 0,
        "top": 0.5,
    }
    assert misfits(Stock(**{**good, **change})) == [sentence]


def test_both_directions_are_named_at_once() -> None:
    assert len(misfits(Stock("Letter", 9, 9, 50, 50))) == 2


@given(stocks)
def test_a_stock_is_accepted_exactly_when_its_last_label_ends_on_the_paper(stock: Stock) -> None:
    paper = PAPERS[stock.paper]
    right = stock.left + stock.columns * (stock.width + stock.gap_across) - stock.gap_across
    bottom = stock.top + stock.rows * (stock.height + stock.gap_down) - stock.gap_down
    beyond = max(right - paper.width, bottom - paper.height)
    if abs(beyond) > 1e-3:
        assert (misfits(stock) == []) == (beyond < 0)


@given(stocks.filter(lambda stock: not misfits(stock)), st.integers(0, 300), st.data())
def test_labels_lie_apart_on_the_paper_in_their_order(
    stock: Stock, count: int, data: st.DataObject
) -> None:
    first = data.draw(st.integers(1, stock.per_sheet))
    places = slots(stock, count, first)
    paper = PAPERS[stock.paper]
    assert len(places) == count
    assert places == sorted(places, key=lambda s: (s.page, s.y, s.x))
    assert all(s.x + s.width <= paper.width + 1e-5 for s in places)
    assert all(s.y + s.height <= paper.height + 1e-5 for s in places)
    for one, next_ in pairwise(places):
        assert (
            next_.page > one.page
            or next_.y >= one.y + one.height - 1e-9
            or next_.x >= one.x + one.width - 1e-9
        )


@given(stocks.filter(lambda stock: not misfits(stock)), st.data())
def test_only_the_first_sheet_is_begun_in_the_middle(stock: Stock, data: st.DataObject) -> None:
    first = data.draw(st.integers(1, stock.per_sheet))
    places = slots(stock, 2 * stock.per_sheet, first)
    assert sum(slot.page == 1 for slot in places) == stock.per_sheet - first + 1
    second = next((slot for slot in places if slot.page == 2), None)
    assert second is not None
    assert (second.x, second.y) == (stock.left, stock.top)


@pytest.mark.parametrize("first", [0, 25])
def test_a_first_label_that_is_not_on_the_sheet_is_refused(first: int) -> None:
    with pytest.raises(SheetProblem, match="between 1 and 24"):
        slots(READY_MADE[0], 1, first)


def test_labels_are_not_placed_on_a_stock_that_does_not_fit() -> None:
    with pytest.raises(SheetProblem, match="need 280 mm"):
        slots(Stock("A4", 4, 8, 70, 37), 1)


@given(st.sampled_from(sorted(PAPERS)), st.floats(5, 150), st.floats(5, 150))
def test_tickets_for_any_holder_fit_with_room_for_the_rule(
    paper: str, width: float, height: float
) -> None:
    stock = ticket_stock(paper, "rectangle", width, height)
    assert misfits(stock) == []
    assert (stock.width, stock.height) == (width - 0.5, height - 0.5)
    bottom = stock.top + stock.rows * (stock.height + stock.gap_down) - stock.gap_down
    assert PAPERS[paper].height - bottom >= 12 - 1e-2
    assert stock.left >= 5 - 1e-2


@pytest.mark.parametrize("inner", [0, 0.5, 400])
def test_a_holder_no_ticket_fits_is_refused(inner: float) -> None:
    with pytest.raises(SheetProblem, match="inner size in millimetres"):
        ticket_stock("A4", "round", inner)
