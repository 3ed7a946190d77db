"""Filling pages: what is put on them goes down to their foot and no further."""

from __future__ import annotations

import pytest

from catalogue.printing.furniture import Filling, Margins
from catalogue.printing.geometry import PAPERS
from catalogue.printing.lettering import Lettering

SANS = Lettering("t", "sans", 9)


@pytest.fixture
def sheet() -> Filling:
    return Filling(PAPERS["A4"], Margins())


def test_a_paragraph_fills_each_page_as_far_down_as_a_line_fits(sheet: Filling) -> None:
    sheet.flow("", "\n".join(map(str, range(200))), SANS)
    *full, last = sheet.pages
    assert [line for page in sheet.pages for text in page.texts for line in text.lines] == [
        str(number) for number in range(200)
    ]
    for page in full:
        (text,) = page.texts
        left = sheet.bottom - text.y - text.height
        assert -1e-6 <= left < SANS.line_height
    assert sheet.y == last.texts[0].y + last.texts[0].height


def test_a_paragraph_goes_overleaf_where_fewer_lines_fit_than_it_may_begin_with(
    sheet: Filling,
) -> None:
    sheet.y = sheet.bottom - 2.5 * SANS.line_height
    sheet.flow("", "one\ntwo\nthree\nfour", SANS, least=3)
    assert [len(page.texts) for page in sheet.pages] == [0, 1]
    assert sheet.page.texts[0].y == sheet.overleaf


def test_a_paragraph_of_fewer_lines_than_that_stays_where_all_of_it_fits(sheet: Filling) -> None:
    sheet.y = sheet.bottom - 2.5 * SANS.line_height
    sheet.flow("", "one\ntwo", SANS, least=3)
    assert len(sheet.pages) == 1
