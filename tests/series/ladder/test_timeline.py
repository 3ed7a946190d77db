"""Where the bars of a timeline stand, and other small computations of the catalogue's pages."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.dates.words import in_words
from series.ladder.timeline import Span, timeline
from series.money.prices import readable, worth
from series.text.words import years_text

years = st.none() | st.integers(1200, 2030)
spans = st.lists(
    st.tuples(years, years)
    .filter(lambda pair: None in pair or pair[0] <= pair[1])
    .map(lambda pair: Span("x", *pair)),
    max_size=6,
)


@given(spans)
def test_every_bar_lies_within_the_drawing(found: list[Span]) -> None:
    drawn = timeline(found, width=1000, now=2030)
    for bar in drawn.bars:
        assert bar.x >= 0
        assert bar.width > 0
        assert bar.x + bar.width <= 1002.1  # a year of a long timeline is drawn 2 wide at least
    assert len(drawn.ticks) <= 14


@given(spans)
def test_what_began_earlier_starts_further_left(found: list[Span]) -> None:
    bars = [bar for bar in timeline(found, width=1000, now=2030).bars if bar.span.first is not None]
    by_year = sorted(bars, key=lambda bar: bar.span.first or 0)
    assert [bar.x for bar in by_year] == sorted(bar.x for bar in bars)


def test_spans_without_years_have_no_bar() -> None:
    assert timeline([Span("x", None, None)], width=1000, now=2030).bars == ()


@given(st.decimals("0.01", "1000", places=2))
def test_worth_at_the_base_is_one(index: Decimal) -> None:
    assert readable(worth(index, index)) == "1"


@pytest.mark.parametrize("index", ["0", "-1"])
def test_an_index_is_above_zero(index: str) -> None:
    with pytest.raises(ValueError):
        worth(Decimal(100), Decimal(index))


@given(st.text(max_size=12))
def test_what_is_no_date_stays_as_it_stands(text: str) -> None:
    assert in_words(f"about {text}") == f"about {text}"


@pytest.mark.parametrize(
    ("first", "last", "text"),
    [
        (1894, 1918, "1894–1918"),
        (1931, 1959, "1931–59"),
        (98, 117, "98–117"),
        (-26, 13, "27 BC–13"),
    ],
)
def test_years_are_cut_short_within_a_century_only(first: int, last: int, text: str) -> None:
    assert years_text(first, last) == text
