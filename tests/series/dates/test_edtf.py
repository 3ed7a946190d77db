from __future__ import annotations

import re
from calendar import monthrange

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.dates.edtf import DateError, parse_edtf
from series.dates.written import read_date_input


@pytest.mark.parametrize(
    ("text", "lower", "upper"),
    [
        ("1931", 1931, 1931),
        ("19X8", 1908, 1998),
        ("196X", 1960, 1969),
        ("X9X8", 908, 9998),
        ("XXXX", 0, 9999),
        ("1931?", 1931, 1931),
        ("1931-05", 1931, 1931),
        ("19XX-02-29", 1904, 1996),
        ("-0044", -44, -44),
        ("-00XX", -99, 0),
        ("1931/1938", 1931, 1938),
        ("1931/..", 1931, None),
        ("../1931", None, 1931),
        ("1931/", 1931, None),
        ("[1966,1968]", 1966, 1968),
        ("[1931..]", 1931, None),
        ("[..1930,1945]", None, 1945),
        ("[196X,1975]", 1960, 1975),
    ],
)
def test_bounds(text: str, lower: int | None, upper: int | None) -> None:
    date = parse_edtf(text)
    assert (date.lower_year, date.upper_year) == (lower, upper)


@pytest.mark.parametrize(
    ("text", "years"),
    [
        ("193X", tuple(range(1930, 1940))),
        ("19X8", (1908, 1918, 1928, 1938, 1948, 1958, 1968, 1978, 1988, 1998)),
        ("196X-02-29", (1960, 1964, 1968)),
        ("[1966,1968]", (1966, 1968)),
        ("[1966..1968,1970]", (1966, 1967, 1968, 1970)),
        ("1931/1934", (1931, 1932, 1933, 1934)),
        ("1931/..", None),
        ("[..1930]", None),
    ],
)
def test_candidate_years(text: str, years: tuple[int, ...] | None) -> None:
    assert parse_edtf(text).candidate_years == years


@pytest.mark.parametrize("year", [1900, 1931, 1996, 2000])
def test_each_month_has_its_days_and_no_more(year: int) -> None:
    """Lengths of the months: Python's own calendar."""
    for month in range(1, 13):
        last = monthrange(year, month)[1]
        assert parse_edtf(f"{year}-{month:02}-{last}").lower_year == year
        assert str(parse_edtf(f"{year}-{month:02}-{last - 1}")) == f"{year}-{month:02}-{last - 1}"
        with pytest.raises(DateError, match="no such day"):
            parse_edtf(f"{year}-{month:02}-{last + 1}")


def test_open_ends_allow_any_year_beyond() -> None:
    later = parse_edtf("[1931..]")
    assert later.may_be(2024)
    assert later.may_be(1931)
    assert not later.may_be(1930)
    earlier = parse_edtf("../1931")
    assert earlier.may_be(-44)
    assert not earlier.may_be(1932)


@pytest.mark.parametrize(
    ("text", "qualifiers"),
    [
        ("1931", [""]),
        ("1931?", ["?"]),
        ("1931~", ["~"]),
        ("1931%", ["%"]),
        ("[1966,1968?]", ["", "?"]),
    ],
)
def test_qualifiers(text: str, qualifiers: list[str]) -> None:
    assert [span.first and span.first.qualifier for span in parse_edtf(text).spans] == qualifiers


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        (" 1931 ", "1931"),
        ("[1968, 1966,1966]", "[1966,1968]"),
        ("[1966..1966]", "[1966]"),
        ("../1931", "../1931"),
        ("/1931", "/1931"),
    ],
)
def test_canonical_form(text: str, canonical: str) -> None:
    assert str(parse_edtf(text)) == canonical


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("19?8", "19X8"),
        ("196?", "X for one"),
        ("19x8", "capital X"),
        ("931", "four digits"),
        ("12345", "four digits"),
        ("1931–38", "[1931..1938]"),
        ("1931-02-30", "no such day"),
        ("1931-13", "no such day"),
        ("1931-21", "no such day"),
        ("1985-04-12T23:20:30Z", "time of day"),
        ("{1966,1968}", "[1966,1968]"),
        ("[1966,1968", "closing bracket"),
        ("1931?-05", "at the end"),
        ("1938/1931", "earlier date first"),
        ("[1938..1931]", "earlier date first"),
        ("1931/1932/1933", "two ends"),
        ("../..", "names no year"),
        ("[..]", "names no year"),
        ("-0000", "0000"),
        ("", "1931"),
        ("soon", "1931"),
        ("１９３１", "1931"),
    ],
)
def test_refusals_say_what_to_write(text: str, advice: str) -> None:
    with pytest.raises(DateError) as refused:
        parse_edtf(text)
    assert advice in str(refused.value)


def test_refusal_names_the_piece_at_fault() -> None:
    with pytest.raises(DateError) as refused:
        parse_edtf("[1966,19?8]")
    assert refused.value.piece == "19?8"


digits = st.text("0123456789X", min_size=4, max_size=4)
months = st.sampled_from(["01", "02", "12", "0X", "1X", "XX", "X2"])
days = st.sampled_from(["01", "28", "XX", "2X", "X9"])
marks = st.sampled_from(["", "?", "~", "%"])


@st.composite
def dates(draw: st.DrawFn) -> str:
    parts = [draw(digits)]
    if draw(st.booleans()):
        parts.append(draw(months))
        if draw(st.booleans()):
            parts.append(draw(days))
    return "-".join(parts) + draw(marks)


@st.composite
def edtf_texts(draw: st.DrawFn) -> str:
    kind = draw(st.sampled_from(["date", "interval", "one of", "range"]))
    if kind == "date":
        return draw(dates())
    if kind == "one of":
        return f"[{','.join(draw(st.lists(dates(), min_size=1, max_size=4)))}]"
    first = draw(st.integers(1000, 1900))
    last = draw(st.integers(first, 2100))
    forms = {
        "interval": [f"{first}/{last}", f"{first}/..", f"../{last}", f"{first}/", f"/{last}"],
        "range": [f"[{first}..{last}]", f"[..{last}]", f"[{first}..]", f"[{first}..{last}?,2150]"],
    }
    return draw(st.sampled_from(forms[kind]))


@given(edtf_texts())
def test_canonical_form_reads_back_the_same(text: str) -> None:
    date = parse_edtf(text)
    assert parse_edtf(str(date)) == date
    assert str(parse_edtf(str(date))) == str(date)


@given(edtf_texts())
def test_candidates_lie_between_the_bounds_and_may_be_meant(text: str) -> None:
    date = parse_edtf(text)
    years = date.candidate_years
    if years is None:
        assert date.lower_year is None or date.upper_year is None
    else:
        assert (years[0], years[-1]) == (date.lower_year, date.upper_year)
        assert list(years) == sorted(set(years))
        assert all(date.may_be(year) for year in years[:50])
        assert not date.may_be(years[0] - 1)
        assert not date.may_be(years[-1] + 1)


def _could_be_a_range(text: str) -> bool:
    """A month of one of the years 00 to 11 of a century, which typing cannot tell apart."""
    return bool(re.fullmatch(r"\d{4}-\d{2}", text)) and text[5:] > text[2:4]


@given(edtf_texts())
def test_edtf_is_read_as_edtf(text: str) -> None:
    date = parse_edtf(text)
    if _could_be_a_range(str(date)):
        with pytest.raises(DateError, match="can mean a month or a range"):
            read_date_input(str(date))
    else:
        assert read_date_input(str(date)) == date


@given(st.text())
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        date = parse_edtf(text)
    except DateError:
        return
    assert parse_edtf(str(date)) == date
