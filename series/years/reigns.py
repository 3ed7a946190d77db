"""Years of a reign, from an accession that is given or stands beside them on the coin.

What is computed: readings of the calendar "regnal". The year of accession is the first year of
the reign: year n is accession + n - 1 in the calendar of the accession (common practice for
Ottoman coins, which show the accession in the Hijri calendar and the year of the reign, no
source). From a day of accession, year n runs from one anniversary to the day before the next.
A reign has at most 99 years.

>>> from series.years.numerals import read_numeral
>>> nine = read_numeral("9")
>>> [(r.civil_from, r.civil_to) for r in regnal_readings(nine, 1327, (), 2030)]
[(1916, 1917)]
>>> regnal_readings(nine, date(1952, 2, 6), (), 2030)[0].words
'year 9 of the reign begun on 6 February 1952: 6 February 1960 to 5 February 1961'
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from series.dates.words import day_in_words
from series.years.calendars import REGNAL, TABLE
from series.years.numerals import Numeral
from series.years.reading import Reading, YearError, edtf_of, year_in_words
from series.years.unread import MOST

LONGEST = 99
_HIJRI_TO = 1500


def accession_readings(
    accession: Numeral, years: Numeral, chosen: tuple[str, ...], latest: int, text: str
) -> tuple[Reading, ...]:
    """The readings of an accession year and a year of the reign side by side, as 1293/34."""
    if accession.unread + years.unread > MOST:
        raise YearError(f"'{text}' has more than two unread figures: read one more of them.")
    calendar = _calendar_of_accession(chosen) or "hijri"
    first, last = TABLE[calendar].years if chosen else TABLE[calendar].on_coins
    starts = [y for y in accession.values if first <= y and (last is None or y <= last)]
    found = [r for start in starts for r in _in_reign(start, calendar, years.values, latest)]
    if not found:
        raise YearError(
            f"'{text}' is no Hijri accession with the year of a reign up to {latest}: name the "
            "calendar of the accession, or write the one date that can be read."
        )
    return tuple(found)


def regnal_readings(
    years: Numeral, accession: int | date, chosen: tuple[str, ...], latest: int
) -> tuple[Reading, ...]:
    """The readings of a year of a reign that began in a year, or on a civil date."""
    if isinstance(accession, date):
        found = _from_day(accession, years.values, latest)
    else:
        calendar = _calendar_of_accession(chosen)
        calendar = calendar or ("hijri" if accession <= _HIJRI_TO else "civil")
        first, last = TABLE[calendar].years
        if accession < first or (last is not None and accession > last):
            raise YearError(f"{accession} is no year of the calendar {calendar}: check it.")
        found = list(_in_reign(accession, calendar, years.values, latest))
    if not found:
        raise YearError(
            f"No year of a reign begun in {accession} up to {latest} fits: a reign has the years "
            f"1 to {LONGEST}; write the year of the reign, such as 9."
        )
    return tuple(found)


def _calendar_of_accession(chosen: tuple[str, ...]) -> str:
    names = [name for name in chosen if name != REGNAL]
    return names[0] if names else ""


def _in_reign(
    accession: int, calendar: str, numbers: Iterable[int], latest: int
) -> Iterable[Reading]:
    entry = TABLE[calendar]
    for number in numbers:
        year = accession + number - 1
        if number > LONGEST or (entry.years[1] is not None and year > entry.years[1]):
            continue
        first, last = entry.touches(year)
        if first <= latest:
            said = (
                f"year {number} of the reign begun in {entry.short.format(accession)}: "
                f"{year_in_words(calendar, year)}"
            )
            yield Reading(REGNAL, number, first, last, edtf_of(first, last), number, said)


def _from_day(accession: date, numbers: Iterable[int], latest: int) -> list[Reading]:
    found = []
    for number in numbers:
        year = accession.year + number - 1
        if number > LONGEST or year > latest:
            continue
        first, last = _anniversary(accession, year), _anniversary(accession, year + 1)
        last -= timedelta(days=1)
        said = (
            f"year {number} of the reign begun on {day_in_words(accession)}: "
            f"{day_in_words(first)} to {day_in_words(last)}"
        )
        edtf = edtf_of(first.year, last.year)
        found.append(Reading(REGNAL, number, first.year, last.year, edtf, number, said))
    return found


def _anniversary(day: date, year: int) -> date:
    """The same day of another year; 1 March for 29 February where there is none."""
    try:
        return day.replace(year=year)
    except ValueError:
        return date(year, 3, 1)
