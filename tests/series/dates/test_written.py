from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.dates.edtf import DateError, parse_edtf
from series.dates.written import complete_year, read_date_input


@pytest.mark.parametrize(
    ("typed", "edtf"),
    [
        ("1931", "1931"),
        (" 1931 ", "1931"),
        ("19?8", "19X8"),
        ("19x8", "19X8"),
        ("????", "XXXX"),
        ("illegible", "XXXX"),
        ("1966-0?", "1966-0X"),
        ("c. 1931", "1931~"),
        ("c1931", "1931~"),
        ("Circa 1931", "1931~"),
        ("c. 19?8", "19X8~"),
        ("perhaps 1931", "1931?"),
        ("1931, uncertain", "1931?"),
        ("perhaps c. 1931", "1931%"),
        ("1966 or 1968", "[1966,1968]"),
        ("1966, 1967 or 1968", "[1966,1967,1968]"),
        ("1966 or 68", "[1966,1968]"),
        ("1899, 1901 or 02", "[1899,1901,1902]"),
        ("1966 or c. 1968", "[1966,1968~]"),
        ("1931–38", "[1931..1938]"),
        ("1931-38", "[1931..1938]"),
        ("1999–04", "[1999..2004]"),
        ("1931 to 1938", "[1931..1938]"),
        ("between 1931 and 1938", "[1931..1938]"),
        ("c. 1931–38", "[1931~..1938~]"),
        ("1931–34 or 1938", "[1931..1934,1938]"),
        ("before 1931", "[..1930]"),
        ("after 1931", "[1932..]"),
        ("until 1931", "[..1931]"),
        ("1931 or later", "[1931..]"),
        ("1931 or earlier", "[..1931]"),
        ("1960s", "196X"),
        ("December 1909", "1909-12"),
        ("12 Dec. 1909", "1909-12-12"),
        ("1966-08", "1966-08"),
        ("AD 931", "0931"),
        ("45 BC", "-0044"),
        ("1 BC", "0000"),
    ],
)
def test_what_is_typed(typed: str, edtf: str) -> None:
    assert str(read_date_input(typed)) == edtf


@pytest.mark.parametrize("typed", ["196?", "19??", "1??6", "?966"])
def test_a_mark_in_place_of_a_digit_is_never_an_uncertain_reading(typed: str) -> None:
    date = read_date_input(typed)
    assert str(date) == typed.replace("?", "X")
    assert "?" not in str(date)


def test_a_mark_after_four_digits_makes_the_reading_uncertain() -> None:
    assert str(read_date_input("1931?")) == "1931?"
    assert str(read_date_input("196??")) == "196X?"


@pytest.mark.parametrize(
    ("typed", "advice"),
    [
        ("", "Write a date"),
        ("931", "AD 931"),
        ("68", "four figures"),
        ("1909-12", "1909 to 1912"),
        ("1900s", "190X or 19XX"),
        ("1952/3", "write 1952 or 3 if either year may be meant, 1952 if that is what"),
        ("١٣٨٩", "civil years"),
        ("n.d.", "leave this empty"),
        ("1938–31", "backwards"),
        ("31 February 1931", "no such day"),
        ("or", "1966 or 1968"),
        ("1931 or foo", "'foo' in '1931 or foo'"),
        ("0 BC", "1931"),
        ("1931??", "1931"),
    ],
)
def test_refusals_say_what_to_write(typed: str, advice: str) -> None:
    with pytest.raises(DateError) as refused:
        read_date_input(typed)
    assert advice in str(refused.value)


@pytest.mark.parametrize(
    ("start", "end", "year"),
    [
        (1931, "8", 1938),
        (1931, "38", 1938),
        (1931, "1938", 1938),
        (1898, "902", 1902),
        (1898, "1902", 1902),
        (1999, "04", 2004),
        (1960, "10", 2010),
        (1959, "10", None),
        (1938, "1", None),
        (1938, "1931", None),
    ],
)
def test_short_end_years(start: int, end: str, year: int | None) -> None:
    if year is None:
        with pytest.raises(DateError, match="backwards"):
            complete_year(start, end)
    else:
        assert complete_year(start, end) == year


@given(st.text("0123456789?", min_size=4, max_size=4))
def test_four_places_keep_every_digit_that_was_read(typed: str) -> None:
    date = read_date_input(typed)
    assert str(date) == typed.replace("?", "X")


@given(st.text("0123456789?xX~%-–/., []cabdefoprtw", max_size=20))
def test_anything_typed_is_read_or_refused_in_words(typed: str) -> None:
    try:
        date = read_date_input(typed)
    except DateError:
        return
    assert parse_edtf(str(date)) == date
