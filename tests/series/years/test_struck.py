from __future__ import annotations

from series.years.readings import read_year
from series.years.struck import ShownIssue, struck

ISSUES = [
    ShownIssue("١٣٧٩", "AH", 1959, 1960, "first"),
    ShownIssue("١٣٨٩", "AH", 1969, 1970, "second"),
    ShownIssue("١٣٨٩", "AH", 1971, 1971, "second, struck later"),
    ShownIssue("", "civil", 1969, 1969, "undated"),
]


def names(text: str, calendar: str = "", issues: list[ShownIssue] = ISSUES) -> dict[int, list[str]]:
    found = struck(read_year(text, calendar), issues)
    return {reading.shown_year: [i.name for i in shown] for reading, shown in found.items()}


def test_readings_that_were_struck_and_by_which_issues() -> None:
    both = ["second", "second, struck later"]
    assert names("١٣?٩", "AH") == {1379: ["first"], 1389: both}


def test_what_is_shown_counts_and_not_when_it_was_struck() -> None:
    frozen = [ShownIssue("1952", "civil", 1953, 1954, "frozen date")]
    assert names("1953", issues=frozen) == {}
    assert names("1952", issues=frozen) == {1952: ["frozen date"]}


def test_the_same_number_in_another_calendar_is_another_year() -> None:
    assert names("1389", "solar-hijri") == {}
    assert names("1389", "umm-al-qura") == {1389: ["second", "second, struck later"]}


def test_an_undated_issue_shows_no_reading() -> None:
    assert names("1969") == {}


def test_words_on_the_coin_count_for_more_than_the_calendar_noted() -> None:
    showa = [ShownIssue("昭和四十三年", "civil", None, None, "showa")]
    assert names("昭和四十?年", issues=showa) == {43: ["showa"]}


def test_years_of_striking_decide_where_the_date_shown_cannot_be_read() -> None:
    words = [ShownIssue("date in words", "civil", 1905, 1907, "words")]
    assert list(names("190?", issues=words)) == [1905, 1906, 1907]
    unknown = [ShownIssue("date in words", "civil", None, None, "words")]
    assert names("190?", issues=unknown) == {}


def test_years_of_reigns_are_told_apart_by_the_accession() -> None:
    ottoman = [ShownIssue("1293/9", "AH", 1883, 1884, "ninth")]
    assert names("1293/9", issues=ottoman) == {9: ["ninth"]}
    assert names("1327/9", issues=ottoman) == {}


def test_a_range_was_struck_where_an_issue_lies_in_it() -> None:
    assert names("1???", "AH") == {1000: ["first", "second", "second, struck later"]}
