"""Read the date on a coin as it stands: every year it may mean, and the civil years of each.

What is computed: readings, one for each calendar and year that fit the text. Years are numbers
of their calendar; civil years are Gregorian. Sources: see ``series.years.calendars`` for the
calendars, ``series.years.likely`` for which of them are considered, and in which order, for a
number that does not name its calendar. Readings stand in that order, then by year.

``?`` is a figure or letter that cannot be read. Up to two unread figures are tried one by one
(at most 100 readings a calendar, before the years that cannot be are left out); with more, there
is one reading a calendar with the whole range: ``shown_year`` is then its first year and
``last_year`` its last. Nothing is dated later than next year.

>>> for reading in read_year("١٣?٩ هـ")[:2]:
...     print(reading.calendar, reading.shown_year, reading.edtf)
hijri 1309 [1891,1892]
hijri 1319 [1901,1902]
>>> [(reading.calendar, reading.words) for reading in read_year("1389")][0]
('hijri', '1389 AH, 20 March 1969 to 8 March 1970')
>>> read_year("1293/34")[0].words
'year 34 of the reign begun in 1293 AH: 1326 AH, 4 February 1908 to 22 January 1909'
>>> figures("AH ١٣?٩"), figures("MDCC")
('13?9', '')
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from datetime import date

from series.years.calendars import CALENDARS, REGNAL, TABLE, resolve
from series.years.figures import MOST_FIGURES, numbers
from series.years.labels import take_labels, tidy
from series.years.likely import civil_from, every_calendar, likely_calendars
from series.years.numerals import Numeral, read_numeral
from series.years.reading import Reading, YearError, reading_of
from series.years.reigns import accession_readings, regnal_readings
from series.years.unread import MOST, UNREAD

__all__ = ["CALENDARS", "Reading", "YearError", "figures", "read_year"]

_STROKE = re.compile(r"\s*[/\u2044]\s*|(?<=[\d?])\s*[-–—·]\s*(?=[\d?])")
_HIJRI = {"hijri", "umm-al-qura"}
_OURS = ("civil", "julian")
LONGEST = 100
"""Letters of a text that is read; no coin has a longer date."""
_EXAMPLES = "1953, 19?8, MDCCCC, ١٣٨٩, 昭和四十三年, תשכ״ט or 1293/34"


def read_year(
    text: str,
    calendar: str = "",
    *,
    accession: int | date | None = None,
    latest: int | None = None,
) -> tuple[Reading, ...]:
    """Every reading of a date; YearError, with what to write instead, if there is none.

    ``calendar`` is a name of CALENDARS or one of the usual abbreviations (AH, BE, ...); the
    years considered are then all those of that calendar. ``accession``: the text is a year of a
    reign that began in that year (of ``calendar``; if none is named, of the Hijri calendar up
    to 1500, else civil) or on that civil date. ``latest``: the last civil year in which a coin
    may have been struck, next year if not given.
    """
    latest = latest or date.today().year + 1
    named, parts = _split(text)
    chosen = _chosen(calendar, named)
    in_context = bool(chosen) or accession is not None or len(parts) == 2
    numerals = [_numeral(part, text, in_context) for part in parts]
    if accession is not None:
        if len(numerals) > 1:
            raise YearError(f"'{text}' shows its accession itself: leave the accession out.")
        return regnal_readings(numerals[0], accession, chosen, latest)
    if len(numerals) == 2:
        return _two(numerals, chosen, latest, text)
    if chosen == (REGNAL,):
        raise YearError(
            "A year of a reign needs its accession: give the year or the day it began, or write "
            "both as on the coin, 1293/34."
        )
    return _one(numerals[0], chosen, latest, text)


def figures(text: str) -> str:
    """The date's figures in western signs, ``?`` for unread ones; "" if it has no such figures.

    For comparing figure by figure with what an issue shows: "١٢٩٣ ٣٤" is "1293/34".
    """
    try:
        parts = _split(text)[1]
    except YearError:
        return ""
    found = [_figures(part) for part in parts]
    return "/".join(found) if all(found) and "".join(found).strip(UNREAD) else ""


def _figures(part: str) -> str:
    if not part.strip(UNREAD):
        return part
    numeral = read_numeral(part)
    return numeral.figures if numeral else ""


def _split(text: str) -> tuple[tuple[str, ...], list[str]]:
    """The calendars named in a text, and its one or two numerals."""
    if len(text) > LONGEST:
        raise YearError(f"This is longer than {LONGEST} letters: write the date alone.")
    named, rest = take_labels(tidy(text))
    if not rest:
        raise YearError(f"Write the date as it stands on the coin, for example {_EXAMPLES}.")
    parts = [part.strip() for part in _STROKE.split(rest)]
    groups = rest.split()
    if len(parts) == 1 and all(any(c.isdecimal() for c in group) for group in groups):
        # Figures set apart are one year; otherwise two groups are two numbers.
        parts = ["".join(groups)] if all(len(group) == 1 for group in groups) else groups
    elif len(parts) == 1:
        parts = ["".join(groups)]
    if len(parts) > 2 or not all(parts):
        raise YearError(
            f"'{text}' has too many parts: write one date, or the accession and the year of the "
            "reign with a stroke between, 1293/34."
        )
    return named, parts


def _chosen(calendar: str, named: tuple[str, ...]) -> tuple[str, ...]:
    """The calendars asked for or named in the text; none if all are open."""
    if not calendar.strip():
        return named
    asked = resolve(calendar)
    if not asked:
        raise YearError(
            f"There is no calendar '{calendar}' here: write one of {', '.join(CALENDARS)}."
        )
    if not named:
        return asked
    both = tuple(name for name in named if name in asked)
    if asked == (REGNAL,) or both:
        return both or named
    if {*asked, *named} <= _HIJRI:
        return asked
    raise YearError(
        f"The text names the calendar {' or '.join(named)}: leave out its words, or the calendar "
        f"'{calendar}'."
    )


def _numeral(part: str, text: str, in_context: bool) -> Numeral:
    """The numeral; where something else tells the calendar, it may be unread as a whole."""
    numeral = read_numeral(part)
    unread = part and not part.strip(UNREAD) and len(part) <= MOST_FIGURES
    if numeral is None and in_context and unread:
        numeral = Numeral("western", numbers(part), part, len(part))
    if numeral is None:
        raise YearError(_advice(part, text))
    if len(numeral.figures) > MOST_FIGURES:
        raise YearError(f"'{part}' has more than four figures: write the year alone.")
    return numeral


def _advice(part: str, text: str) -> str:
    if not part.strip(UNREAD):
        return f"'{text}' has no figure that can be read: one at least is needed, such as ??5?."
    if part.count(UNREAD) > MOST:
        return (
            f"'{text}' has more unread letters than can be tried: read all but two, or write the "
            "figures of the year, such as 17??."
        )
    if any(c.isdecimal() for c in part):
        return f"'{text}' is not a date: write ? for each figure that cannot be read, as in 19?8."
    return f"'{text}' is not a date. Write it as it stands on the coin, for example {_EXAMPLES}."


def _one(numeral: Numeral, chosen: tuple[str, ...], latest: int, text: str) -> tuple[Reading, ...]:
    found = _found(numeral, chosen, latest)
    if not found:
        raise YearError(_nothing_fits(chosen, latest, text))
    return tuple(found)


def _found(numeral: Numeral, chosen: Sequence[str], latest: int) -> list[Reading]:
    if chosen:
        return _in_calendars(numeral, [(name, *TABLE[name].years) for name in chosen], latest)
    every = every_calendar(numeral.script)
    for names in (likely_calendars(numeral.script), every):
        if found := _in_calendars(numeral, [_on_coins(n, numeral.script) for n in names], latest):
            return found
    return _in_calendars(numeral, [(name, *TABLE[name].years) for name in every], latest)


def _on_coins(name: str, script: str) -> tuple[str, int, int | None]:
    """A calendar with the years in which coins of a script show it."""
    first, last = TABLE[name].on_coins
    return name, civil_from(script) if name in _OURS else first, last


def _in_calendars(
    numeral: Numeral, spans: Iterable[tuple[str, int, int | None]], latest: int
) -> list[Reading]:
    """The readings in calendars, each with the first and last year that are considered."""
    found = []
    for name, first, last in spans:
        touches = TABLE[name].touches
        years = [n for n in numeral.values if first <= n and (last is None or n <= last)]
        del years[bisect_right(years, latest, key=lambda year: touches(year)[0]) :]
        if years and numeral.unread > MOST:
            edtf = numeral.figures.replace(UNREAD, "X") if name == "civil" else ""
            found.append(reading_of(name, years[0], years[-1], edtf=edtf))
        else:
            found += [reading_of(name, year) for year in years]
    return found


def _two(
    numerals: list[Numeral], chosen: tuple[str, ...], latest: int, text: str
) -> tuple[Reading, ...]:
    """An accession with the year of the reign, or one year in two calendars."""
    first, second = numerals
    sizes = sorted(max(numeral.values, default=0) for numeral in numerals)
    if sizes[0] < 100:
        if max(first.values, default=0) < max(second.values, default=0):
            first, second = second, first
        return accession_readings(first, second, chosen, latest, text)
    if chosen == (REGNAL,):
        raise YearError(
            f"'{text}' shows no year of a reign: write it after the accession, 1293/34."
        )
    ones, others = (_found(numeral, chosen, latest) for numeral in numerals)
    both = [(a, b) for a in ones for b in others if a.calendar != b.calendar and _meet(a, b)]
    if not both:
        raise YearError(
            f"The two dates of '{text}' do not meet in any year: write the one that is certain."
        )
    pairs = (reading for pair in zip(*both, strict=True) for reading in pair)
    return tuple(dict.fromkeys(pairs))


def _meet(one: Reading, other: Reading) -> bool:
    return one.civil_from <= other.civil_to and other.civil_from <= one.civil_to


def _nothing_fits(chosen: tuple[str, ...], latest: int, text: str) -> str:
    if "umm-al-qura" in chosen:
        return (
            f"'{text}' is outside the tables of Umm al-Qura, 1343 to 1500 AH, or later than "
            f"{latest}: write 'hijri' for the arithmetical calendar."
        )
    if len(chosen) == 1:
        first, last = TABLE[chosen[0]].years
        until = f"to {last}" if last else "on"
        return (
            f"'{text}' fits no year of the calendar {chosen[0]}: it has the years from {first} "
            f"{until}, none of them after the civil year {latest}. Check the figures, or leave "
            "the calendar out."
        )
    return (
        f"'{text}' fits no calendar known here up to {latest}: check the figures, and write ? "
        "for one that is not certain."
    )
