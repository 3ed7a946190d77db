"""First and last days of eras, and the civil years their years touch.

Sources: for the eras of Japan up to Keio, P. Y. Tsuchihashi, *Japanese Chronological Tables from
601 to 1872 A.D.* (Tokyo 1952), from memory, each day confirmed by the package japanera 2.1. For
Meiji the proclamation of Keio 4, 8th of the 9th month, which counts from the first day of that
lunar year; for Taisho and Showa the rescripts of 30 July 1912 and 25 December 1926; for Heisei
Cabinet Order 1 of 1989 (in force on the day after 7 January), for Reiwa Cabinet Order 143 of 2019
(in force on 1 May). Proclamation 337 of Meiji 5 made the 3rd of its 12th month 1 January 1873.

The years of China begin with the lunar year: 6 February 1875, and 22 January 1909 (Hong Kong
Observatory, *Gregorian-Lunar Calendar Conversion Table*); the edict of abdication is of 12 February
1912. In Korea the 17th of the 11th month of Gaeguk 504 became 1 January 1896; the treaty of
annexation was promulgated on 29 August 1910. Manchuria was declared a state on 1 March 1932
and an empire on 1 March 1934. The days of Geonyang, Gwangmu, Yunghui and the last of Kangde are
common practice, no source: accounts differ by a day or two.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

import pytest

from series.years.eras import ERAS, JAPANESE
from series.years.readings import YearError, read_year

DAYS = {
    "tenpo": ("1831-01-23", "1845-01-08"),
    "koka": ("1845-01-09", "1848-03-31"),
    "kaei": ("1848-04-01", "1855-01-14"),
    "ansei": ("1855-01-15", "1860-04-07"),
    "manen": ("1860-04-08", "1861-03-28"),
    "bunkyu": ("1861-03-29", "1864-03-26"),
    "genji": ("1864-03-27", "1865-04-30"),
    "keio": ("1865-05-01", "1868-10-22"),
    "meiji": ("1868-01-25", "1912-07-29"),
    "taisho": ("1912-07-30", "1926-12-24"),
    "showa": ("1926-12-25", "1989-01-07"),
    "heisei": ("1989-01-08", "2019-04-30"),
    "reiwa": ("2019-05-01", ""),
    "guangxu": ("1875-02-06", "1909-01-21"),
    "xuantong": ("1909-01-22", "1912-02-12"),
    "gaeguk": ("1392-08-05", "1895-12-31"),
    "geonyang": ("1896-01-01", "1897-08-13"),
    "gwangmu": ("1897-08-14", "1907-08-01"),
    "yunghui": ("1907-08-02", "1910-08-29"),
    "datong": ("1932-03-01", "1934-02-28"),
    "kangde": ("1934-03-01", "1945-08-17"),
}

# Number of the year: the civil years it touches. The last row of each is its last year; the first
# lunar year of an era is cut short by the era's first day, the last by its last.
TOUCHED = {
    "tenpo": {1: (1831, 1831), 2: (1831, 1832), 14: (1843, 1844), 15: (1844, 1845)},
    "koka": {1: (1845, 1845), 2: (1845, 1846), 5: (1848, 1848)},
    "kaei": {1: (1848, 1849), 6: (1853, 1854), 7: (1854, 1855)},
    "ansei": {1: (1855, 1855), 2: (1855, 1856), 7: (1860, 1860)},
    "manen": {1: (1860, 1861), 2: (1861, 1861)},
    "bunkyu": {1: (1861, 1862), 3: (1863, 1864), 4: (1864, 1864)},
    "genji": {1: (1864, 1865), 2: (1865, 1865)},
    "keio": {1: (1865, 1866), 3: (1867, 1868), 4: (1868, 1868)},
    "meiji": {1: (1868, 1869), 4: (1871, 1872), 5: (1872, 1872), 6: (1873, 1873), 45: (1912, 1912)},
    "taisho": {1: (1912, 1912), 2: (1913, 1913), 15: (1926, 1926)},
    "showa": {1: (1926, 1926), 2: (1927, 1927), 64: (1989, 1989)},
    "heisei": {1: (1989, 1989), 2: (1990, 1990), 31: (2019, 2019)},
    "reiwa": {1: (2019, 2019), 2: (2020, 2020), 8: (2026, 2026)},
    "guangxu": {1: (1875, 1876), 33: (1907, 1908), 34: (1908, 1909)},
    "xuantong": {1: (1909, 1910), 2: (1910, 1911), 3: (1911, 1912)},
    "gaeguk": {1: (1392, 1393), 497: (1888, 1889), 503: (1894, 1895), 504: (1895, 1895)},
    "geonyang": {1: (1896, 1896), 2: (1897, 1897)},
    "gwangmu": {1: (1897, 1897), 2: (1898, 1898), 11: (1907, 1907)},
    "yunghui": {1: (1907, 1907), 2: (1908, 1908), 4: (1910, 1910)},
    "datong": {1: (1932, 1932), 2: (1933, 1933), 3: (1934, 1934)},
    "kangde": {1: (1934, 1934), 2: (1935, 1935), 12: (1945, 1945)},
}  # fmt: skip

# The first and last years that were solar throughout, each to the day.
SOLAR = {
    ("meiji", 6): ("1873-01-01", "1873-12-31"),
    ("meiji", 45): ("1912-01-01", "1912-07-29"),
    ("taisho", 1): ("1912-07-30", "1912-12-31"),
    ("taisho", 15): ("1926-01-01", "1926-12-24"),
    ("showa", 1): ("1926-12-25", "1926-12-31"),
    ("showa", 64): ("1989-01-01", "1989-01-07"),
    ("heisei", 1): ("1989-01-08", "1989-12-31"),
    ("heisei", 31): ("2019-01-01", "2019-04-30"),
    ("reiwa", 1): ("2019-05-01", "2019-12-31"),
    ("geonyang", 1): ("1896-01-01", "1896-12-31"),
    ("datong", 1): ("1932-03-01", "1932-12-31"),
    ("kangde", 1): ("1934-03-01", "1934-12-31"),
}

LUNAR = {"meiji": 5, "guangxu": 34, "xuantong": 3, "gaeguk": 504} | {
    name: max(TOUCHED[name]) for name in JAPANESE[JAPANESE.index("keio") :]
}


def test_every_era_is_checked() -> None:
    assert set(DAYS) == set(TOUCHED) == set(ERAS)


@pytest.mark.parametrize("name", ERAS)
def test_its_first_and_last_day(name: str) -> None:
    era = ERAS[name]
    assert (era.start.isoformat(), era.end.isoformat() if era.end else "") == DAYS[name]


@pytest.mark.parametrize("name", ERAS)
def test_the_civil_years_that_its_years_touch(name: str) -> None:
    touched = {number: ERAS[name].touches(number) for number in TOUCHED[name]}
    assert touched == TOUCHED[name]
    for number, years in touched.items():
        (reading,) = read_year(str(number), name, latest=2030)
        assert (reading.civil_from, reading.civil_to) == years


@pytest.mark.parametrize("name", [name for name in ERAS if name != "reiwa"])
def test_no_year_before_its_first_or_after_its_last(name: str) -> None:
    for number in (0, max(TOUCHED[name]) + 1):
        with pytest.raises(YearError):
            read_year(str(number), name, latest=2030)


@pytest.mark.parametrize(("name", "number"), SOLAR)
def test_a_solar_year_is_cut_off_at_the_days_of_its_era(name: str, number: int) -> None:
    days = ERAS[name].days(number)
    assert days is not None
    assert tuple(day.isoformat() for day in days) == SOLAR[name, number]


@pytest.mark.parametrize("name", LUNAR)
def test_a_lunar_year_is_given_no_days(name: str) -> None:
    era, last_lunar = ERAS[name], LUNAR[name]
    assert {era.days(number) for number in range(1, last_lunar + 1)} == {None}
    if last_lunar < max(TOUCHED[name]):
        assert era.days(last_lunar + 1) is not None


@pytest.mark.parametrize(
    "names",
    [
        ("tenpo", "koka", "kaei", "ansei", "manen", "bunkyu", "genji", "keio"),
        ("meiji", "taisho", "showa", "heisei", "reiwa"),
        ("guangxu", "xuantong"),
        ("gaeguk", "geonyang", "gwangmu", "yunghui"),
        ("datong", "kangde"),
    ],
)
def test_one_era_ends_on_the_day_before_the_next(names: tuple[str, ...]) -> None:
    for name, following in pairwise(names):
        end = ERAS[name].end
        assert end is not None
        assert end + timedelta(days=1) == ERAS[following].start
