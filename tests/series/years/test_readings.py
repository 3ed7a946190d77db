from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.dates.edtf import parse_edtf
from series.years.calendars import TABLE
from series.years.readings import CALENDARS, Reading, YearError, figures, read_year
from tests.series.years import writers

LATEST = 2030
HIJRI_1389 = ("hijri", 1389, 1969, 1970)


def read(text: str, calendar: str = "") -> list[tuple[str, int, int, int]]:
    found = read_year(text, calendar, latest=LATEST)
    return [(r.calendar, r.shown_year, r.civil_from, r.civil_to) for r in found]


@pytest.mark.parametrize(
    ("text", "reading"),
    [
        ("AH 1389", HIJRI_1389),
        ("1389 H", HIJRI_1389),
        ("A.H. 1389", HIJRI_1389),
        ("AH1389", HIJRI_1389),
        ("هـ ١٣٨٩", HIJRI_1389),
        ("١٣٨٩هـ", HIJRI_1389),
        ("سنة ١٣٨٩ هجرية", HIJRI_1389),
        ("1389 hijri", HIJRI_1389),
        ("\u200f١٣٨٩\u200e هـ\u200f", HIJRI_1389),
        ("\u202b\u0661\u0663\u0668\u0669\u202c AH", HIJRI_1389),
        ("۱۳۴۹ ش", ("solar-hijri", 1349, 1970, 1971)),
        ("SH 1349", ("solar-hijri", 1349, 1970, 1971)),
        ("BE 2510", ("buddhist", 2510, 1967, 1967)),
        ("พ.ศ. ๒๕๑๐", ("buddhist", 2510, 1967, 1967)),
        ("พ.ศ.๒๔๘๓", ("buddhist", 2483, 1940, 1940)),
        ("BE 2482", ("buddhist", 2482, 1939, 1940)),
        ("BE 2484", ("buddhist", 2484, 1941, 1941)),
        ("R.S. 127", ("rattanakosin", 127, 1908, 1909)),
        ("ร.ศ. ๑๒๗", ("rattanakosin", 127, 1908, 1909)),
        ("昭和四十三年", ("showa", 43, 1968, 1968)),
        ("昭和43年", ("showa", 43, 1968, 1968)),
        ("令和元年", ("reiwa", 1, 2019, 2019)),
        ("年八治明", ("meiji", 8, 1875, 1875)),
        ("明治三年", ("meiji", 3, 1870, 1871)),
        ("大日本明治四十五年", ("meiji", 45, 1912, 1912)),
        ("Showa 64", ("showa", 64, 1989, 1989)),
        ("㍼43", ("showa", 43, 1968, 1968)),
        ("民國五十七年", ("minguo", 57, 1968, 1968)),
        ("中華民國五十七年", ("minguo", 57, 1968, 1968)),
        ("檀紀四千二百九十二年", ("dangi", 4292, 1959, 1959)),
        ("西暦二〇〇一年", ("civil", 2001, 2001, 2001)),
        ("光緒三十四年", ("guangxu", 34, 1908, 1909)),
        ("宣統三年", ("xuantong", 3, 1911, 1912)),
        ("L'AN 2", ("republican", 2, 1793, 1794)),
        ("AN XI", ("republican", 11, 1802, 1803)),
        ("L’an 14 de la République", ("republican", 14, 1805, 1805)),
        ("AM 5729", ("hebrew", 5729, 1968, 1969)),
        ("ה׳תש״ח", ("hebrew", 5708, 1947, 1948)),
        ("AM 1685", ("coptic", 1685, 1968, 1969)),
        ("VS 2025", ("vikram", 2025, 1968, 1969)),
        ("संवत् २०२५", ("vikram", 2025, 1968, 1969)),
        ("शके १८३३", ("saka", 1833, 1911, 1912)),
        ("፲፱፻፶፫", ("ethiopian", 1953, 1960, 1961)),
        ("EE 1953", ("ethiopian", 1953, 1960, 1961)),
        ("၁၂၁၄", ("chula", 1214, 1852, 1853)),
        ("۲۵۳۵", ("shahanshahi", 2535, 1976, 1977)),
        ("1953", ("civil", 1953, 1953, 1953)),
        ("AD 1953", ("civil", 1953, 1953, 1953)),
        ("1 9 5 3", ("civil", 1953, 1953, 1953)),
        ("MDCCCCX", ("civil", 1910, 1910, 1910)),
        ("1700 O.S.", ("julian", 1700, 1700, 1701)),
        ("4292", ("dangi", 4292, 1959, 1959)),
    ],
)
def test_a_date_that_can_mean_one_year(text: str, reading: tuple[str, int, int, int]) -> None:
    assert read(text) == [reading]


@pytest.mark.parametrize(
    ("text", "calendars"),
    [
        ("١٣٨٩", ["hijri", "solar-hijri"]),
        ("١٩٦٩", ["civil"]),
        ("۱۳۲۴", ["solar-hijri", "hijri"]),
        ("۱۲۹۰", ["hijri"]),
        ("1437", ["civil", "hijri", "julian"]),
        ("1350", ["hijri", "solar-hijri"]),
        ("१९५३", ["vikram", "civil"]),
        ("১৯৭৫", ["civil", "vikram"]),
        ("五十七", ["minguo", "showa"]),
        ("11", ["republican", "minguo", "showa", "heisei", "meiji", "taisho", "reiwa"]),
        ("MDLXXX", ["civil", "julian"]),
        ("2060", ["vikram"]),
    ],
)
def test_an_unnamed_date_is_read_in_the_likely_calendars(text: str, calendars: list[str]) -> None:
    assert [reading[0] for reading in read(text)] == calendars


def test_an_unread_figure_gives_each_year_in_order() -> None:
    found = read("19?8")
    assert [reading[1] for reading in found] == list(range(1908, 2000, 10))


def test_two_unread_figures_give_at_most_a_hundred_readings_a_calendar() -> None:
    found = read("١٣??")
    assert [r[1] for r in found if r[0] == "hijri"] == list(range(1300, 1400))
    assert len(found) <= 200


def test_more_unread_figures_give_one_reading_with_the_whole_range() -> None:
    civil, hijri, *_ = read_year("1???", latest=2027)
    assert (civil.edtf, civil.shown_year, civil.last_year) == ("1XXX", 1400, 1999)
    assert (hijri.edtf, hijri.shown_year, hijri.last_year) == ("[1591..2028]", 1000, 1449)
    assert hijri.words == "1000 to 1449 AH, 1591 to 2028"


def test_a_year_of_an_era_may_be_unread() -> None:
    assert [reading[1] for reading in read("明治?年")] == list(range(1, 10))


def test_two_civil_years_are_a_set_of_two() -> None:
    (reading,) = read_year("1389", "AH")
    assert reading.edtf == "[1969,1970]"
    assert reading.words == "1389 AH, 20 March 1969 to 8 March 1970"


def test_a_named_calendar_has_all_its_years() -> None:
    assert read("0931", "civil") == [("civil", 931, 931, 931)]
    assert read("31", "AH") == [("hijri", 31, 651, 652)]


def test_nothing_is_struck_after_next_year() -> None:
    with pytest.raises(YearError, match="1953"):
        read_year("1953", "hijri", latest=LATEST)
    assert read_year("1449", "AH", latest=2027)
    with pytest.raises(YearError):
        read_year("1449", "AH", latest=2026)
    this_year = date.today().year
    assert read_year(str(this_year + 1), "civil")
    with pytest.raises(YearError):
        read_year(str(this_year + 2), "civil")


@pytest.mark.parametrize(
    "text", ["1293/34", "١٢٩٣ ٣٤", "١٢٩٣/٣٤", "1293 - 34", "AH 1293/34", "34/1293"]
)
def test_an_accession_with_the_year_of_the_reign(text: str) -> None:
    # 1293 + 34 - 1 = 1326 AH, 4 February 1908 to 22 January 1909.
    (reading,) = read_year(text)
    assert (reading.calendar, reading.shown_year) == ("regnal", 34)
    assert (reading.civil_from, reading.civil_to, reading.edtf) == (1908, 1909, "[1908,1909]")
    assert "1293 AH: 1326 AH, 4 February 1908" in reading.words


def test_unread_figures_beside_an_accession() -> None:
    assert [reading[1] for reading in read("1327/?")] == list(range(1, 10))
    assert len(read("12?7/1?")) == 100


def test_an_accession_year_is_counted_in_its_calendar() -> None:
    (hijri,) = read_year("9", accession=1327)
    assert (hijri.civil_from, hijri.civil_to) == (1916, 1917)
    (civil,) = read_year("9", accession=1837)
    assert (civil.calendar, civil.shown_year, civil.edtf) == ("regnal", 9, "1845")
    (named,) = read_year("9", "civil", accession=1422)
    assert named.edtf == "1430"


def test_a_day_of_accession_makes_years_run_between_anniversaries() -> None:
    (first,) = read_year("1", "regnal", accession=date(1952, 2, 6))
    assert (first.civil_from, first.civil_to) == (1952, 1953)
    (leap,) = read_year("2", accession=date(1904, 2, 29))
    assert leap.words.endswith("1 March 1905 to 28 February 1906")
    (new_year,) = read_year("3", accession=date(1901, 1, 1))
    assert new_year.edtf == "1903"


def test_one_year_in_two_calendars_is_read_in_both() -> None:
    both = [HIJRI_1389, ("civil", 1969, 1969, 1969)]
    assert read("1389/1969") == read("١٣٨٩ - ١٩٦٩") == read("1389 AH 1969 AD") == both


def test_an_unread_figure_is_told_by_the_other_calendar() -> None:
    assert read("13?9/1969") == [HIJRI_1389, ("civil", 1969, 1969, 1969)]


@pytest.mark.parametrize(
    ("text", "calendar", "says"),
    [
        ("", "", "Write the date as it stands"),
        ("AH", "", "Write the date as it stands"),
        ("????", "", "no figure that can be read"),
        ("19X8", "", "write \\? for each figure"),
        ("hello", "", "is not a date"),
        ("M???", "", "read all but two"),
        ("12345", "", "more than four figures"),
        ("9999", "", "fits no calendar"),
        ("1/2/3", "", "too many parts"),
        ("1966/68", "", "no Hijri accession"),
        ("1389/1950", "", "do not meet"),
        ("1??3/?4", "", "more than two unread"),
        ("1389", "moon", "There is no calendar 'moon' here: write one of civil"),
        ("1389 AH", "civil", "names the calendar hijri"),
        ("65", "showa", "years from 1 to 64"),
        ("1501", "umm-al-qura", "1343 to 1500 AH"),
        ("1300", "umm-al-qura", "1343 to 1500 AH"),
        ("9", "regnal", "needs its accession"),
        ("1389/1969", "regnal", "no year of a reign"),
    ],
)
def test_bad_input_is_told_what_to_write(text: str, calendar: str, says: str) -> None:
    with pytest.raises(YearError, match=says):
        read_year(text, calendar, latest=LATEST)


def test_an_accession_beside_an_accession_is_refused() -> None:
    with pytest.raises(YearError, match="leave the accession out"):
        read_year("1293/34", accession=1293)
    with pytest.raises(YearError, match="no year of the calendar"):
        read_year("9", accession=0)
    with pytest.raises(YearError, match="1 to 99"):
        read_year("1953", accession=1327)


def test_names_of_calendars_and_their_abbreviations() -> None:
    for name in CALENDARS:
        assert name == name.lower()
        assert " " not in name
    for short in ("AH", "SH", "BE", "AM", "VS", "SE", "EE", "civil", "Umm al-Qura", "Japanese"):
        year = {"BE": "2510", "AM": "5729", "Japanese": "43"}.get(short, "1389")
        assert read(year, short)


def test_words_in_the_text_narrow_the_calendar_asked_for() -> None:
    assert read("昭和43年", "japanese") == [("showa", 43, 1968, 1968)]
    assert read("43", "japanese")[1] == ("meiji", 43, 1910, 1910)
    assert read("1389 AH", "umm-al-qura") == [("umm-al-qura", 1389, 1969, 1970)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [("١٣?٩", "13?9"), ("AH ١٣?٩", "13?9"), ("พ.ศ. ๒๕๑๐", "2510"), ("一九?五年", "19?5"),
     ("昭和四十三年", ""), ("昭和43年", "43"), ("MDCC", ""), ("תשכט", ""), ("", ""), ("????", ""),
     ("١٢٩٣ ٣٤", "1293/34"), ("1327/?", "1327/?"), ("gull", "")],
)  # fmt: skip
def test_western_figures(text: str, expected: str) -> None:
    assert figures(text) == expected


YEARS = [
    (name, year)
    for name, calendar in TABLE.items()
    for year in range(calendar.on_coins[0], (calendar.on_coins[1] or 9999) + 1, 7)
    if calendar.touches(year)[0] <= LATEST
]


@given(st.sampled_from(YEARS), st.sampled_from(sorted(writers.ZEROS)), st.data())
def test_every_reading_with_unread_figures_includes_the_right_year(
    dated: tuple[str, int], script: str, data: st.DataObject
) -> None:
    name, year = dated
    text = writers.by_place(year, writers.ZEROS[script])
    places = data.draw(st.sets(st.integers(0, len(text) - 1), max_size=min(3, len(text) - 1)))
    blurred = "".join("?" if place in places else sign for place, sign in enumerate(text))
    found = read_year(blurred, name, latest=LATEST)
    first, last = TABLE[name].touches(year)
    assert any(r.shown_year <= year <= r.last_year for r in found)
    assert any(r.civil_from <= first and last <= r.civil_to for r in found)
    assert len(found) <= 100


@given(st.sampled_from(YEARS))
def test_the_calendar_of_a_reading_reads_the_same_civil_years(dated: tuple[str, int]) -> None:
    name, year = dated
    (reading,) = read_year(str(year), name, latest=LATEST)
    days = TABLE[name].days(year)
    assert (reading.shown_year, reading.last_year) == (year, year)
    if days:
        assert (days[0].year, days[1].year) == (reading.civil_from, reading.civil_to)
    assert str(year) in reading.words
    assert str(reading.civil_from) in reading.words


SIGNS = "0123456789?١٣٨٩۹०๒၁፲፱፻MDCLXVIתשכט׳״年昭和四十三百〇廿元 /-'.AHBEanهـشم\u200f{}()"


@given(st.text(st.sampled_from(SIGNS), max_size=12) | st.text(max_size=8), st.booleans())
def test_any_text_is_read_or_refused_in_words(text: str, with_accession: bool) -> None:
    try:
        found = read_year(text, accession=1293 if with_accession else None)
    except YearError:
        return
    assert found
    assert len(found) == len(set(found))
    for reading in found:
        assert isinstance(reading, Reading)
        date_read = parse_edtf(reading.edtf)
        assert str(date_read) == reading.edtf
        assert reading.words
    figures(text)


@pytest.mark.parametrize(
    "text", ["1" * 60, "?" * 50 + "1", "一" * 60, "一?" * 40, "१?" * 40, "19?8 " * 10_000]
)
def test_a_text_longer_than_a_date_is_refused_at_once(text: str) -> None:
    """Not by trying what stands for each ``?``: fifty of them would never end."""
    with pytest.raises(YearError):
        read_year(text)
    assert len(figures(text)) <= len(text)


def test_a_long_text_is_not_said_again() -> None:
    with pytest.raises(YearError, match=r"^This is longer than 100 letters: write the date alone"):
        read_year("1" * 5000)


def test_the_last_lunar_year_of_japan_ended_with_1872() -> None:
    """The solar calendar began there on 1 January 1873 (from memory)."""
    assert read("明治五年") == [("meiji", 5, 1872, 1872)]
    assert read("明治四年") == [("meiji", 4, 1871, 1872)]


def test_a_reign_ends_where_the_tables_of_its_calendar_do() -> None:
    """The tables of Umm al-Qura end with 1500 AH."""
    (last,) = read_year("6", "umm-al-qura", accession=1495, latest=2100)
    assert "1500 AH" in last.words
    with pytest.raises(YearError, match="No year of a reign"):
        read_year("7", "umm-al-qura", accession=1495, latest=2100)
    assert read_year("1500/1", "umm-al-qura", latest=2100)[0].shown_year == 1
    with pytest.raises(YearError):
        read_year("1501/1", "umm-al-qura", latest=2100)


def test_an_accession_up_to_1500_is_one_of_the_hijri_calendar() -> None:
    assert "begun in 1500 AH" in read_year("9", accession=1500, latest=2100)[0].words
    assert "begun in 1501: 1509" in read_year("9", accession=1501, latest=2100)[0].words


def test_an_accession_counts_from_the_first_year_that_coins_show() -> None:
    assert read("600/1")[0][:2] == ("regnal", 1)
    with pytest.raises(YearError, match="no Hijri accession"):
        read("599/1")


def test_no_reign_has_a_hundredth_year() -> None:
    assert read_year("99", accession=1800, latest=LATEST)[0].shown_year == 99
    with pytest.raises(YearError, match="a reign has the years 1 to 99"):
        read_year("100", accession=1800, latest=LATEST)
