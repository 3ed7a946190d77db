"""One reading of a date on a coin: a year of a calendar and the civil years it touches.

What is computed: the EDTF expression of civil years (Library of Congress, 4 February 2019: one
year 1969, one of two [1969,1970], one of more [1966..1970]) and the reading in words for people.

>>> reading = reading_of("hijri", 1389)
>>> reading.edtf, reading.words
('[1969,1970]', '1389 AH, 20 March 1969 to 8 March 1970')
>>> reading_of("showa", 43).words, reading_of("vikram", 2025).words
('Showa 43, 1968', '2025 VS, 1968 or 1969')
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from series.dates.words import day_in_words
from series.years.calendars import TABLE


class YearError(ValueError):
    """A text that is no date, or no year of the calendar named; says what to write instead."""


@dataclass(frozen=True)
class Reading:
    """A date read in one calendar.

    ``shown_year`` is the year in its calendar (of a reign: the year of the reign), the same as
    ``last_year`` unless so much is unread that only a range can be given. ``civil_from`` and
    ``civil_to`` are the first and last civil year touched; ``edtf`` says the same in EDTF.
    """

    calendar: str
    shown_year: int
    civil_from: int
    civil_to: int
    edtf: str
    last_year: int
    said: str = field(default="", compare=False, repr=False)
    """The words, where the calendar and the year alone do not tell them."""

    @property
    def words(self) -> str:
        """The reading for people: "1389 AH, 20 March 1969 to 8 March 1970"."""
        if self.said:
            return self.said
        if self.shown_year == self.last_year:
            return year_in_words(self.calendar, self.shown_year)
        short = TABLE[self.calendar].short
        years = short.format(f"{self.shown_year} to {self.last_year}")
        if self.calendar == "civil":
            return years
        return f"{years}, {self.civil_from} to {self.civil_to}"


def reading_of(
    calendar: str, year: int, last_year: int | None = None, *, edtf: str = ""
) -> Reading:
    """The reading of a year, or of a range of years, in a calendar."""
    last_year = last_year or year
    first, last = TABLE[calendar].touches(year)[0], TABLE[calendar].touches(last_year)[1]
    return Reading(calendar, year, first, last, edtf or edtf_of(first, last), last_year)


def edtf_of(first: int, last: int) -> str:
    """EDTF for one civil year out of those from ``first`` to ``last``."""
    if first == last:
        return f"{first:04d}"
    between = "," if last == first + 1 else ".."
    return f"[{first:04d}{between}{last:04d}]"


def year_in_words(calendar: str, year: int) -> str:
    """A year of a calendar with the civil days, or if need be the years, that it covers."""
    entry = TABLE[calendar]
    name = entry.short.format(year)
    first, last = entry.touches(year)
    days = entry.days(year)
    if calendar == "civil":
        return name
    if days is None:
        return f"{name}, {first} or {last}" if first != last else f"{name}, {first}"
    whole = (date(first, 1, 1), date(last, 12, 31))
    if first == last and days == whole:
        return f"{name}, {first}"
    return f"{name}, {day_in_words(days[0])} to {day_in_words(days[1])}"
