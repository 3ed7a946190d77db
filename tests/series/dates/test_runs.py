from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.dates.edtf import DateError
from series.dates.issues import DatedIssue
from series.dates.runs import MOST_YEARS, parse_run, write_run


def plain(*years: int, **rest: Any) -> list[DatedIssue]:
    return [DatedIssue(str(year), year, year, **rest) for year in years]


@pytest.mark.parametrize(
    ("text", "issues"),
    [
        ("", []),
        (" ,\n; ", []),
        ("1931", plain(1931)),
        ("1931–33", plain(1931, 1932, 1933)),
        ("1931-33", plain(1931, 1932, 1933)),
        ("1931 – 33", plain(1931, 1932, 1933)),
        ("1931–1933", plain(1931, 1932, 1933)),
        ("1931 to 1933", plain(1931, 1932, 1933)),
        ("1931–3", plain(1931, 1932, 1933)),
        ("1898–1902", plain(1898, 1899, 1900, 1901, 1902)),
        ("1999–01", plain(1999, 2000, 2001)),
        ("1931, 1941; 1947\n1950", plain(1931, 1941, 1947, 1950)),
        ("1947 S", plain(1947, marks=("S",))),
        ("1947 S+D", plain(1947, marks=("S", "D"))),
        ("1947 S/D", [*plain(1947, marks=("S",)), *plain(1947, marks=("D",))]),
        ("1947 S / D + A", [*plain(1947, marks=("S",)), *plain(1947, marks=("D", "A"))]),
        ("1947 ★", plain(1947, marks=("★",))),
        ("1947 +star", plain(1947, marks=("star",))),
        ('1947 +"a star"+2', plain(1947, marks=("a star", "2"))),
        (
            "1947–48 S/D",
            [
                DatedIssue("1947", 1947, 1947, ("S",)),
                DatedIssue("1947", 1947, 1947, ("D",)),
                DatedIssue("1948", 1948, 1948, ("S",)),
                DatedIssue("1948", 1948, 1948, ("D",)),
            ],
        ),
        ("1952 (1953)", [DatedIssue("1952", 1953, 1953)]),
        ("1952 (1953–54)", [DatedIssue("1952", 1953, 1954)]),
        ("1952 (struck 1953 to 1954)", [DatedIssue("1952", 1953, 1954)]),
        ("1952 (1953) S", [DatedIssue("1952", 1953, 1953, ("S",))]),
        ("1952 S (1953)", [DatedIssue("1952", 1953, 1953, ("S",))]),
        ("1952 (1952)", plain(1952)),
        ("1952 (?)", [DatedIssue("1952", None, None)]),
        ("1966 proof", plain(1966, purpose="proof")),
        ("1966, 1966 Proof", [*plain(1966), *plain(1966, purpose="proof")]),
        ("1966 sets", plain(1966, purpose="sets")),
        ("1966 sets only", plain(1966, purpose="sets")),
        ("1966 pattern", plain(1966, purpose="pattern")),
        ("1966 not released", plain(1966, purpose="not_released")),
        ("1966 melted", plain(1966, purpose="melted")),
        ("not struck 1940–41", plain(1940, 1941, fact="not_struck")),
        ("no 1940", plain(1940, fact="not_struck")),
        ("1940 not struck", plain(1940, fact="not_struck")),
        ("not recorded 1945 S", plain(1945, fact="not_recorded", marks=("S",))),
        ("no 1940, 1941", [*plain(1940, fact="not_struck"), *plain(1941)]),
        ('1947 "wide rim"', plain(1947, note="wide rim")),
        ("1947 “wide, flat rim”", plain(1947, note="wide, flat rim")),
        ('1947 "a 3"" die"', plain(1947, note='a 3" die')),
        ("١٣٨٩ (1969)", [DatedIssue("١٣٨٩", 1969, 1969)]),
        ("1389 AH (1969–70)", [DatedIssue("1389", 1969, 1970, calendar="AH")]),
        ("AH ١٣٨٩ (1969)", [DatedIssue("١٣٨٩", 1969, 1969, calendar="AH")]),
        ("Showa 13 (1938)", [DatedIssue("13", 1938, 1938, calendar="Showa")]),
        ("66 (1966)", [DatedIssue("66", 1966, 1966)]),
        ("n.d. (1890–95)", [DatedIssue("", 1890, 1895)]),
        ("undated (?)", [DatedIssue("", None, None)]),
        ('"MCMLII" (1952)', [DatedIssue("MCMLII", 1952, 1952)]),
        ('1952 S (1953) proof "one rim"', [
            DatedIssue("1952", 1953, 1953, ("S",), "proof", note="one rim")
        ]),
    ],
)  # fmt: skip
def test_what_is_written(text: str, issues: list[DatedIssue]) -> None:
    assert parse_run(text) == issues


@pytest.mark.parametrize(
    ("text", "piece", "advice"),
    [
        ("1947 S, D", "D", "S/D"),
        ("1947 S D", "D", "S+D"),
        ("1947, proof", "proof", "1947 proof"),
        ("1947 1948", "1948", "comma"),
        ("1947/48", "/", "7 over 6"),
        ("1947 prof", "prof", '"prof" if it is a note'),
        ("1938–31", "1938–31", "backwards"),
        ("1947 2", "2", "comma"),
        ("19?8", "19?8", "not a date"),
        ("c. 1931", "c. 1931", "civil years"),
        ("S 1947", "S 1947", "after the date"),
        ("١٣٨٩", "١٣٨٩", "brackets"),
        ("AH 1389", "AH 1389", "brackets"),
        ("47", "47", "brackets"),
        ("n.d.", "n.d.", "brackets"),
        ("1952–54 (1953)", "1952–54 (1953)", "each date by itself"),
        ("1952 (later)", "(later)", "(1953–54)"),
        ("1952 (1953, 1955)", "(1953, 1955)", "(1953–54)"),
        ("1952 (1954–53)", "1954–53", "backwards"),
        ("1952 (1953) (1954)", "(1954)", "one too many"),
        ("1947 proof melted", "melted", "one too many"),
        ("1947 S+", "1947 S+", "wants a mark"),
        ("1947 (1948", "(", "no partner"),
        ('1947 "wide', '"', "no partner"),
        ("1931–38, 1935", "1935", "twice"),
        ("1940, not struck 1940", "not struck 1940", "twice"),
        ("1100–1900", "1100–1900", "200 years"),
        ("not 1947", "not", "before a date"),
        ("000", "000", "brackets"),
    ],
)
def test_refusals_name_the_piece_at_fault(text: str, piece: str, advice: str) -> None:
    with pytest.raises(DateError) as refused:
        parse_run(text)
    assert refused.value.piece == piece
    assert piece in str(refused.value)
    assert advice in str(refused.value)


def test_too_many_issues_are_refused() -> None:
    text = ", ".join(f"1000–1199 m{letter}" for letter in "abcdefghijk")
    with pytest.raises(DateError, match="write fewer"):
        parse_run(text)


@pytest.mark.parametrize(
    ("written", "short"),
    [
        ("1931, 1932, 1933, 1941", "1931–33, 1941"),
        ("1899, 1900", "1899–1900"),
        ("1947 S, 1947 D", "1947 S/D"),
        ("1947 S, 1947 D, 1948 S, 1948 D, 1949 S", "1947–48 S/D, 1949 S"),
        ("1947, 1947 S", "1947, 1947 S"),
        ("1389 AH (1969)", "AH 1389 (1969)"),
        ("no 1940, no 1941, 1942", "not struck 1940–41, 1942"),
        ("1952 (1953), 1953 (1954)", "1952 (1953), 1953 (1954)"),
        ("undated (1890–1895)", "n.d. (1890–95)"),
        ("1941, 1940", "1941, 1940"),
        ("1947 sets only “small”", '1947 sets "small"'),
        ("1952 +BE (1953)", "1952 +BE (1953)"),
        ('1952 +"B.E."', "1952 +B.E."),
    ],
)
def test_short_form(written: str, short: str) -> None:
    assert write_run(parse_run(written)) == short


texts = st.text(min_size=1, max_size=12).map(str.strip).filter(bool)
marks = st.one_of(
    st.sampled_from(["S", "D", "CC", "BE", "star", "no", "2", "★", "n.d", "to", "–", "proof"]),
    texts,
)
calendars = st.sampled_from(["civil", "AH", "BE", "Showa", "year", "昭和"])


@st.composite
def dated_issues(draw: st.DrawFn) -> DatedIssue:
    first = draw(st.integers(1, 2100))
    if draw(st.booleans()):
        year = draw(st.integers(1890, 1910))
        shown, years, calendar = str(year), (year, year), "civil"
    else:
        shown = draw(st.one_of(st.just(""), texts, st.sampled_from(["1952", "١٣٨٩", "66", "0931"])))
        years = draw(st.sampled_from([(first, first), (first, first + 5), (None, None)]))
        calendar = draw(calendars)
    return DatedIssue(
        shown,
        *years,
        marks=tuple(draw(st.lists(marks, max_size=2))),
        purpose=draw(
            st.sampled_from(["circulation", "proof", "sets", "pattern", "not_released", "melted"])
        ),
        fact=draw(st.sampled_from(["struck", "struck", "not_struck", "not_recorded"])),
        calendar=calendar,
        note=draw(st.one_of(st.just(""), texts)),
    )


def _identity(issue: DatedIssue) -> tuple[object, ...]:
    return (issue.shown, issue.struck_from, issue.struck_to, issue.marks, issue.purpose,
            issue.calendar, issue.note)  # fmt: skip


@given(st.lists(dated_issues(), max_size=8, unique_by=_identity))
def test_what_is_written_short_reads_back_the_same(issues: list[DatedIssue]) -> None:
    assert parse_run(write_run(issues)) == issues


@given(
    st.lists(
        st.tuples(st.integers(1890, 1915), st.sampled_from([(), ("S",), ("D",), ("S", "D")])),
        unique=True,
        max_size=40,
    )
)
def test_plain_dates_and_mints_read_back_the_same(dates: list[tuple[int, Any]]) -> None:
    issues = [DatedIssue(str(year), year, year, marks) for year, marks in sorted(dates)]
    assert parse_run(write_run(issues)) == issues


@given(st.text("0123456789-–,/+ ()?SDnotruck.\"“”'", max_size=30))
def test_anything_typed_is_read_or_refused_in_words(text: str) -> None:
    try:
        issues = parse_run(text)
    except DateError:
        return
    assert parse_run(write_run(issues)) == issues


@given(st.integers(1000, 2000), st.integers(1, MOST_YEARS - 1))
def test_a_range_names_every_year_once(first: int, length: int) -> None:
    issues = parse_run(f"{first}–{first + length}")
    assert [issue.struck_from for issue in issues] == list(range(first, first + length + 1))


@pytest.mark.parametrize(
    "fields",
    [
        {"struck_from": 1931, "struck_to": None},
        {"struck_from": 1931, "struck_to": 1930},
        {"struck_from": 0, "struck_to": 0},
        {"marks": (" S",)},
        {"marks": ("",)},
        {"calendar": "Thai era"},
        {"calendar": "not"},
        {"note": "wide "},
    ],
)
def test_an_issue_that_cannot_be_written_is_refused(fields: dict[str, Any]) -> None:
    with pytest.raises(ValueError):
        DatedIssue(**({"shown": "1931", "struck_from": 1931, "struck_to": 1931} | fields))
