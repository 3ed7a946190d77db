"""Readings of dates against published calendars and two libraries.

Sources: Reingold and Dershowitz, *Calendrical Calculations*, Appendix C (sample dates; those of
the common era, from memory, each confirmed by the package convertdate); the packages
convertdate and hijridate over their ranges; and single days of history, from memory.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from convertdate import (
    coptic,
    french_republican,
    hebrew,
    indian_civil,
    islamic,
    julian,
    persian,
)
from hijridate import Gregorian, Hijri

from series.dates.edtf import parse_edtf
from series.years.calendars import TABLE
from series.years.readings import read_year

LATEST = 3000
DAY = timedelta(days=1)

# R.D. day: years of the Hijri (arithmetical), Hebrew, solar Hijri (astronomical) and Coptic
# calendars. Calendrical Calculations, Appendix C, from memory.
SAMPLES = {
    253427: (75, 4455, 73, 411),
    369740: (403, 4773, 392, 729),
    400085: (489, 4856, 475, 812),
    434355: (586, 4950, 569, 906),
    452605: (637, 5000, 618, 956),
    470160: (687, 5048, 667, 1004),
    473837: (697, 5058, 677, 1014),
    507850: (793, 5151, 770, 1107),
    524156: (839, 5196, 814, 1152),
    544676: (897, 5252, 871, 1208),
    567118: (960, 5314, 932, 1270),
    569477: (967, 5320, 938, 1276),
    601716: (1058, 5408, 1027, 1364),
    613424: (1091, 5440, 1059, 1396),
    626596: (1128, 5476, 1095, 1432),
    645554: (1182, 5528, 1147, 1484),
    664224: (1234, 5579, 1198, 1535),
    671401: (1255, 5599, 1218, 1555),
    694799: (1321, 5663, 1282, 1619),
    704424: (1348, 5689, 1308, 1645),
    708842: (1360, 5702, 1320, 1658),
    709409: (1362, 5703, 1322, 1659),
    709580: (1362, 5704, 1322, 1660),
    727274: (1412, 5752, 1370, 1708),
    728714: (1416, 5756, 1374, 1712),
    744313: (1460, 5799, 1417, 1755),
    764652: (1518, 5854, 1473, 1810),
}


def civil(text: str, calendar: str) -> tuple[int, int]:
    (reading,) = read_year(text, calendar, latest=LATEST)
    return reading.civil_from, reading.civil_to


def days(calendar: str, year: int) -> tuple[date, date]:
    found = TABLE[calendar].days(year)
    assert found is not None
    return found


@pytest.mark.parametrize("day", SAMPLES)
def test_sample_dates_lie_in_the_years_read(day: int) -> None:
    when = date.fromordinal(day)
    names = ("hijri", "hebrew", "solar-hijri", "coptic")
    for name, year in zip(names, SAMPLES[day], strict=True):
        first, last = days(name, year)
        assert first <= when <= last, name
        from_year, to_year = civil(str(year), name)
        assert from_year <= when.year <= to_year
    ethiopian_first, ethiopian_last = days("ethiopian", SAMPLES[day][3] + 276)
    assert ethiopian_first <= when <= ethiopian_last


@pytest.mark.parametrize(
    ("calendar", "year", "day"),
    [
        # Days of history, from memory.
        ("hijri", 1389, date(1969, 3, 20)),  # its first day, as in the project's check values
        ("umm-al-qura", 1389, date(1969, 3, 19)),
        ("hebrew", 5708, date(1948, 5, 14)),  # 5 Iyar 5708
        ("hebrew", 5706, date(1945, 11, 12)),  # 7 Kislev 5706, confirmed by convertdate alone
        ("ethiopian", 2000, date(2007, 9, 12)),  # its first day
        ("saka", 1879, date(1957, 3, 22)),  # 1 Chaitra 1879, Calendar Reform Committee
        ("republican", 1, date(1792, 9, 22)),
        ("republican", 2, date(1794, 7, 27)),  # 9 Thermidor
        ("republican", 8, date(1799, 11, 9)),  # 18 Brumaire
        ("republican", 14, date(1805, 12, 31)),  # its last day
        ("julian", 1917, date(1917, 11, 7)),  # 25 October old style
        ("julian", 1582, date(1582, 10, 15)),
        ("buddhist", 2484, date(1941, 1, 1)),
        ("buddhist", 2483, date(1940, 12, 31)),
        ("rattanakosin", 108, date(1889, 4, 1)),
        ("showa", 64, date(1989, 1, 7)),
        ("heisei", 1, date(1989, 1, 8)),
        ("heisei", 31, date(2019, 4, 30)),
        ("reiwa", 1, date(2019, 5, 1)),
        ("taisho", 1, date(1912, 7, 30)),
        ("showa", 1, date(1926, 12, 25)),
        ("meiji", 6, date(1873, 1, 1)),  # the first day of the solar calendar in Japan
        ("minguo", 1, date(1912, 1, 1)),
        ("dangi", 4281, date(1948, 8, 15)),
        ("shahanshahi", 2535, date(1976, 3, 21)),
    ],
)
def test_days_of_history(calendar: str, year: int, day: date) -> None:
    first, last = days(calendar, year)
    assert first <= day <= last


def test_first_days_that_are_known() -> None:
    assert days("hijri", 1389)[0] == date(1969, 3, 20)
    assert days("umm-al-qura", 1389)[0] == date(1969, 3, 19)
    assert days("ethiopian", 2000)[0] == date(2007, 9, 12)
    # Common practice, no source: the Thai year 2483 had nine months, April to December.
    assert days("buddhist", 2482) == (date(1939, 4, 1), date(1940, 3, 31))
    assert days("buddhist", 2483) == (date(1940, 4, 1), date(1940, 12, 31))
    assert days("buddhist", 2484) == (date(1941, 1, 1), date(1941, 12, 31))
    assert days("republican", 14) == (date(1805, 9, 23), date(1805, 12, 31))


@pytest.mark.parametrize(
    ("library", "calendar", "last_month", "years"),
    [
        (islamic, "hijri", 12, range(1, 1501)),
        (coptic, "coptic", 13, range(1, 1740)),
        (indian_civil, "saka", 12, range(1, 1950)),
        (julian, "julian", 12, range(300, 2028)),
    ],
)
def test_whole_ranges_against_convertdate(
    library: Any, calendar: str, last_month: int, years: range
) -> None:
    for year in years:
        length = library.month_length(year, last_month)
        first = library.to_gregorian(year, 1, 1)[0]
        last = library.to_gregorian(year, last_month, length)[0]
        assert civil(str(year), calendar) == (first, last), year


def test_every_hebrew_year_against_convertdate() -> None:
    for year in range(4000, 6001):
        first = hebrew.to_gregorian(year, hebrew.TISHRI, 1)[0]
        last = hebrew.to_gregorian(year, hebrew.TISHRI, hebrew.year_days(year))[0]
        assert civil(str(year), "hebrew") == (first, last), year


def test_ethiopian_years_are_coptic_ones_276_further_on() -> None:
    for year in range(277, 2017):
        assert civil(str(year), "ethiopian") == civil(str(year - 276), "coptic")


def test_republican_years_against_convertdate() -> None:
    for year in range(1, 14):
        first = french_republican.to_gregorian(year, 1, 1)
        extra = 6 if french_republican.leap(year) else 5
        last = french_republican.to_gregorian(year, 13, extra)
        assert civil(str(year), "republican") == (first[0], last[0])
        assert days("republican", year) == (date(*first), date(*last))


# convertdate needs 16 ms a day for this calendar: every year that coins show, and each 50th
# of those before.
@pytest.mark.parametrize("years", [range(1, 1298, 50), range(1298, 1420)])
def test_solar_hijri_years_against_convertdate(years: range) -> None:
    for year in years:
        first = date(*persian.to_gregorian(year, 1, 1))
        last = date(*persian.to_gregorian(year + 1, 1, 1)) - DAY
        assert days("solar-hijri", year) == (first, last)
        assert civil(str(year), "solar-hijri") == (first.year, last.year)


def test_every_year_of_umm_al_qura_against_hijridate() -> None:
    for year in range(1343, 1501):
        first = Hijri(year, 1, 1).to_gregorian()
        last = date(*first.datetuple()) + (Hijri(year, 1, 1).year_length() - 1) * DAY
        assert civil(str(year), "umm-al-qura") == (first.year, last.year), year
        assert days("umm-al-qura", year) == (date(*first.datetuple()), last)
        assert Gregorian(last.year, last.month, last.day).to_hijri().datetuple()[:2] == (year, 12)


def test_the_two_hijri_calendars_are_never_more_than_two_days_apart() -> None:
    for year in range(1343, 1500):
        apart = days("hijri", year)[0] - days("umm-al-qura", year)[0]
        assert abs(apart.days) <= 2, year


@pytest.mark.parametrize("calendar", [name for name in TABLE if TABLE[name].years[1] is None])
def test_years_follow_one_another_without_a_gap(calendar: str) -> None:
    start = TABLE[calendar].on_coins[0]
    for year in range(start, start + 100):
        this, following = TABLE[calendar].days(year), TABLE[calendar].days(year + 1)
        if this and following:
            assert following[0] == this[1] + DAY
        assert TABLE[calendar].touches(year + 1)[0] in TABLE[calendar].touches(year) or (
            TABLE[calendar].touches(year + 1)[0] == TABLE[calendar].touches(year)[1] + 1
        )


@pytest.mark.parametrize("text", ["1953", "1389 AH", "19?8", "1???", "???9", "1293/34", "011?"])
def test_edtf_means_the_same_to_the_edtf_package(text: str) -> None:
    from edtf import parse_edtf as parse_with_the_package

    for reading in read_year(text, latest=2027):
        theirs = parse_with_the_package(reading.edtf)
        bounds = (int(theirs.lower_strict()[0]), int(theirs.upper_strict()[0]))
        ours = parse_edtf(reading.edtf)
        assert bounds == (ours.lower_year, ours.upper_year)
        # What was read may reach further than what can have been struck: 1??? is 1XXX.
        assert bounds[0] <= reading.civil_from <= reading.civil_to <= bounds[1]
        if "X" not in reading.edtf:
            assert bounds == (reading.civil_from, reading.civil_to)
