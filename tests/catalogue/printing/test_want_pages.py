"""Where the pages of a want list break: no page of one line, no heading at the foot of one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.models import WantList
from catalogue.printing.want_sheets import draw_lines
from catalogue.wants.lists import WantLine
from tests.poppler import pdftotext

pytest.importorskip("weasyprint", exc_type=OSError)


def lines(entries: int, in_a_series: int, dates: int) -> list[WantLine]:
    return [
        WantLine("Halvern", f"Series {n // in_a_series}", f"{n} tinne", f"{1900 + year}", "", False)
        for n in range(entries)
        for year in range(dates)
    ]


def pages_of(wanted: list[WantLine], paper: str) -> list[list[str]]:
    """The lines of text of each page, without those of its foot."""
    pdf = draw_lines(WantList(title="Looking for"), wanted, paper)
    pages = pdftotext(pdf, "-layout").split("\f")[:-1]
    return [[line for line in page.splitlines() if line.strip()][:-1] for page in pages]


@settings(max_examples=8, deadline=None)
@given(
    st.integers(1, 70),
    st.sampled_from([1, 2, 5, 100]),
    st.sampled_from([1, 1, 12, 80]),
    st.sampled_from(["A4", "Letter"]),
)
def test_the_last_page_carries_three_entries_and_no_heading_stands_at_a_foot(
    entries: int, in_a_series: int, dates: int, paper: str
) -> None:
    pages = pages_of(lines(entries, in_a_series, dates), paper)
    for page in pages[:-1]:
        assert not page[-1].strip().startswith("Halvern")
        assert not page[-1].strip().endswith("tinne")
    last = [line for line in pages[-1] if line.strip().endswith("tinne")]
    if dates <= 60 and len(pages) > 1:
        assert len(last) >= 3
    assert len(pages[-1]) >= 4 or len(pages) == 1


@pytest.mark.parametrize("entries", [16, 17, 18, 19])
def test_one_entry_too_many_for_a_page_takes_two_others_along(entries: int) -> None:
    pages = pages_of(lines(entries, 100, 1), "A4")
    counts = [sum(line.strip().endswith("tinne") for line in page) for page in pages]
    assert sum(counts) == entries
    assert len(counts) == 1 or counts[-1] >= 3
