"""EDTF reading compared with the ``edtf`` package (PyPI), another implementation of the
Library of Congress specification of 4 February 2019.

The package is imported inside the tests: it is slow and brings a web framework with it.
Where it departs from the specification the case is named below and kept out:

* an unspecified digit inside a month (``1931-0X``) makes it fail;
* it takes no ``?``, ``~`` or ``%`` after unspecified digits other than the last one or two of
  a year (``19X8?``);
* an unknown end (``1931/``) is given ten years; ours stays unknown (None);
* ``19XX-02-29`` is given the bound 1900, which has no 29 February.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from series.dates.edtf import DateError, Edtf, parse_edtf


def their_bounds(text: str) -> tuple[int | None, int | None]:
    from edtf import parse_edtf as parse_with_the_package

    theirs = parse_with_the_package(text)

    def year(bound: Any) -> int | None:
        return None if isinstance(bound, float) and math.isinf(bound) else int(bound[0])

    return year(theirs.lower_strict()), year(theirs.upper_strict())


def our_bounds(text: str) -> tuple[int | None, int | None]:
    date: Edtf = parse_edtf(text)
    return date.lower_year, date.upper_year


@pytest.mark.parametrize(
    "text",
    [
        # Examples of the specification, levels 0 and 1.
        "1985-04-12", "1985-04", "1985", "1964/2008", "2004-06/2006-08", "2004-02-01/2005-02-08",
        "2004-02-01/2005-02", "2004-02-01/2005", "2005/2006-02", "1984?", "2004-06~", "2004-06-11%",
        "201X", "20XX", "2004-XX", "1985-04-XX", "1985-XX-XX", "1985-04-12/..", "1985-04/..",
        "1985/..", "../1985-04-12", "../1985-04", "../1985", "-1985", "1984~/2004-06",
        "1984/2004-06~", "1984~/2004~", "1984-06?/2004-08?", "1984-06-02?/2004-08-08~",
        # Level 2: one of a set, unspecified digits anywhere.
        "[1667,1668,1670..1672]", "[..1760-12-03]", "[1760-12..]", "[1667,1760-12]",
        "156X-12-25", "15XX-12-25", "1XXX-12", "19X8", "XXXX",
        # Dates of coins.
        "[1966,1968]", "0931", "-0044", "0000",
    ],
)  # fmt: skip
def test_examples(text: str) -> None:
    assert our_bounds(text) == their_bounds(text)


years = st.text("0123456789X", min_size=4, max_size=4)
marks = st.sampled_from(["", "?", "~", "%"])


@settings(max_examples=60, deadline=None)
@given(years, marks)
def test_any_unread_digits(year: str, mark: str) -> None:
    if not re.fullmatch(r"\d\d(\d\d|\dX|XX)", year):
        mark = ""
    assert our_bounds(year + mark) == their_bounds(year + mark)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 9000), st.integers(0, 900), marks, st.booleans())
def test_any_interval_and_set(first: int, length: int, mark: str, in_set: bool) -> None:
    last = first + length
    text = f"[{first:04d},{last:04d}]" if in_set else f"{first:04d}/{last:04d}{mark}"
    assert our_bounds(text) == their_bounds(text)


@pytest.mark.parametrize(
    "text", ["931", "19?8", "19x8", "1931-13", "1931-02-32", "1966 or 1968", "[1966", "1931–38"]
)
def test_refused_by_both(text: str) -> None:
    from edtf.parser.edtf_exceptions import EDTFParseException

    with pytest.raises(DateError):
        parse_edtf(text)
    with pytest.raises(EDTFParseException):
        their_bounds(text)
