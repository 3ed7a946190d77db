"""The line of a worth chart stays in its box and keeps the order of days and amounts."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from valuation.estimates.chart import chart

days = st.lists(st.integers(1, 9000), min_size=2, max_size=15, unique=True).map(sorted)
amounts = st.decimals(0, 10**6, places=2)


@given(days, st.data())
def test_every_dot_stands_in_the_box_and_in_order(offsets: list[int], data: st.DataObject) -> None:
    history = [(date(2000, 1, 1) + timedelta(n), data.draw(amounts)) for n in offsets]
    drawn = chart(history, 300, 80)
    assert drawn is not None
    places = [(float(dot.x), float(dot.y)) for dot in drawn.dots]
    assert all(4 <= x <= 296 and 4 <= y <= 76 for x, y in places)
    assert [x for x, _y in places] == sorted(x for x, _y in places)
    dearest = max(drawn.dots, key=lambda dot: dot.amount)
    assert float(dearest.y) == min(y for _x, y in places)


def test_one_day_makes_no_line() -> None:
    assert chart([(date(2026, 1, 1), Decimal(1))], 300, 80) is None


def test_the_line_stands_on_its_base() -> None:
    history = [(date(2026, 1, 1), Decimal(0)), (date(2026, 1, 2), Decimal(5))]
    drawn = chart(history, 300, 80)
    assert drawn is not None
    assert (drawn.base, drawn.points) == ("76", "4,76 296,4")
