"""The first and last day of a year in calendars that libraries know.

What is computed: for a year of a calendar, its first and its last day as dates of the civil
calendar (proleptic Gregorian, so that days before 1582 have dates too). Sources: the packages
convertdate (arithmetical Hijri, solar Hijri by the equinox at Tehran's meridian, Hebrew, Indian
civil, Coptic, French Republican by the equinox at Paris, Julian) and hijridate (Umm al-Qura,
whose months are tabulated for 1343 to 1500 AH). Added here: the Thai new year on 1 April until
1940 (common practice, no source), and that the French
Republican calendar ended with 31 December 1805.

>>> [day.isoformat() for day in hijri_days(1389)], umm_al_qura_days(1389)[0].isoformat()
(['1969-03-20', '1970-03-08'], '1969-03-19')
>>> [day.isoformat() for day in thai_days(2483)]
['1940-04-01', '1940-12-31']
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import lru_cache

from convertdate import coptic, french_republican, hebrew, indian_civil, islamic, julian, persian
from hijridate import Hijri

UMM_AL_QURA = (1343, 1500)
REPUBLICAN_END = date(1805, 12, 31)
_DAY_BEFORE_YEAR_ONE = 1721424.5
_DAY = timedelta(days=1)

Days = tuple[date, date]


def _civil_day(julian_day: float) -> date:
    """The civil day; the last day of 9999 for all later ones."""
    return date.fromordinal(min(round(julian_day - _DAY_BEFORE_YEAR_ONE), date.max.toordinal()))


def _between_new_years(new_year: Callable[[int], float]) -> Callable[[int], Days]:
    """From the Julian day number of each new year, the first and last day of a year."""
    kept = lru_cache(maxsize=1024)(new_year)

    def days(year: int) -> Days:
        return _civil_day(kept(year)), _civil_day(kept(year + 1)) - _DAY

    return days


hijri_days = _between_new_years(lambda year: islamic.to_jd(year, 1, 1))
hebrew_days = _between_new_years(lambda year: hebrew.to_jd(year, hebrew.TISHRI, 1))
coptic_days = _between_new_years(lambda year: coptic.to_jd(year, 1, 1))
saka_days = _between_new_years(lambda year: indian_civil.to_jd(year, 1, 1))
julian_days = _between_new_years(lambda year: julian.to_jd(year, 1, 1))
# What convertdate's to_jd finds in 16 ms by searching from the epoch, this finds in 3 ms.
solar_hijri_days = _between_new_years(lambda year: persian.equinox_jd(year + 621) + 0.5)
_republican_days = _between_new_years(lambda year: french_republican.to_jd(year, 1, 1))


def ethiopian_days(year: int) -> Days:
    """The Ethiopian year is the Coptic one, 276 years further on."""
    return coptic_days(year - 276)


def republican_days(year: int) -> Days:
    """Years 1 to 14; the last was cut short."""
    first, last = _republican_days(year)
    return first, min(last, REPUBLICAN_END)


def umm_al_qura_days(year: int) -> Days:
    """Years 1343 to 1500; OverflowError beyond."""
    last = Hijri(year, 12, 1)
    last = Hijri(year, 12, last.month_length())
    return date(*Hijri(year, 1, 1).to_gregorian().datetuple()), date(
        *last.to_gregorian().datetuple()
    )


def thai_days(year: int) -> Days:
    """The Buddhist year in Thailand: the civil year from 2484, from 1 April before.

    Before 2432 (1889) the year began with the lunar new year in March or April; the days given
    are then about right, the civil years touched are the same.
    """
    civil = year - 543
    if year >= 2484:
        return date(civil, 1, 1), date(civil, 12, 31)
    end = date(1940, 12, 31) if year == 2483 else date(civil + 1, 3, 31)
    return date(civil, 4, 1), end


def rattanakosin_days(year: int) -> Days:
    """Rattanakosin era: year 1 is 1782/83, so that 2324 years more make the Buddhist year."""
    return thai_days(year + 2324)
