"""Which readings of a date were struck, and by which issues of a type.

What is computed: for readings and the issues of a type, each issue that shows a reading. An
issue shows a reading if the date recorded as shown, read in the calendar recorded for it, is the
same year of the same calendar; the arithmetical Hijri years and those of Umm al-Qura are the
same years, and so are civil and Julian ones. Where an issue's date cannot be read so, but its
years of striking are known, they decide: they must meet the civil years of the reading. An
issue without a date shows none. A date kept for years (struck later than shown) is no obstacle.

>>> from series.years.readings import read_year
>>> issues = [ShownIssue("١٣٨٩", "AH", 1969, 1970), ShownIssue("١٣٩٩", "AH", 1979, 1979)]
>>> found = struck(read_year("١٣?٩", "AH"), issues)
>>> {reading.shown_year: [issue.shown for issue in shown] for reading, shown in found.items()}
{1389: ['١٣٨٩'], 1399: ['١٣٩٩']}
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from series.years.readings import Reading, YearError, read_year

_SAME = {"umm-al-qura": "hijri", "julian": "civil"}


@dataclass(frozen=True)
class ShownIssue:
    """What an issue shows, in which calendar, and the civil years of striking, if known.

    ``name`` is what the caller calls it, such as "1947 S".
    """

    shown: str
    calendar: str
    struck_from: int | None
    struck_to: int | None
    name: str = ""


def struck(
    readings: Iterable[Reading], issues: Sequence[ShownIssue]
) -> dict[Reading, tuple[ShownIssue, ...]]:
    """The readings that issues show, in the order of the readings, each with those issues."""
    found = {}
    for reading in readings:
        if showing := tuple(issue for issue in issues if _shows(issue, reading)):
            found[reading] = showing
    return found


def _shows(issue: ShownIssue, reading: Reading) -> bool:
    if not issue.shown:
        return False
    read = _read(issue.shown, issue.calendar)
    if read:
        return any(_is_same(other, reading) for other in read)
    if issue.struck_from is None or issue.struck_to is None:
        return False
    return issue.struck_from <= reading.civil_to and reading.civil_from <= issue.struck_to


def _is_same(one: Reading, other: Reading) -> bool:
    calendars = {_SAME.get(reading.calendar, reading.calendar) for reading in (one, other)}
    years_meet = one.shown_year <= other.last_year and other.shown_year <= one.last_year
    if calendars == {"regnal"}:
        return years_meet and (one.civil_from, one.civil_to) == (other.civil_from, other.civil_to)
    return len(calendars) == 1 and years_meet


@lru_cache(maxsize=65_536)
def _read(shown: str, calendar: str) -> tuple[Reading, ...]:
    """The readings of a recorded date; words in it count for more than the calendar's field."""
    for name in (calendar, ""):
        try:
            return read_year(shown, name)
        except YearError:
            continue
    return ()
