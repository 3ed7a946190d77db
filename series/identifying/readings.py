"""How likely what was read is, given what stands on the coin: value, date, script, motif, country.

What is computed: natural logarithms of chances, one for each distinct text of the records (a
denomination, a date, a set of scripts …). The stated models; figures are common practice, no
source:

* denomination: the reader names words or figures of the denomination, each taken at random; one in
  twenty is wrong, and then one of ``OTHER_WORDS``, or of those that the records know;
* date: each figure that is read is right with ``DIGIT_RIGHT``, else any of the other nine; figures
  not read say nothing. A date in letters (Roman, Hebrew, Chinese …) is right with the same chance
  as a whole. Instead of the date shown, the civil year is given in ``CONVERTED`` of the cases;
* script: one of the scripts on the coin; motif: one of its motifs, or a broader one; country:
  each with the stated chance of being right, else one of so many others: a wrong guess falls on
  what looks alike, not on anything in the world, and on no more than the records know.

>>> [round(float(x), 2) for x in np.exp(log_dates("19?8", "", [("1948", "civil", 1948, 1948)]))]
[0.91]
>>> matches_word("tinn?", "tinne"), matches_word("25", "250")
(True, False)
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from unicodedata import normalize, numeric

import numpy as np
from numpy.typing import NDArray
from rapidfuzz import fuzz

from series.arrays import Floats
from series.text.english import NUMBERS
from series.text.folding import fold
from series.text.numerals import numeral
from series.text.scripts import as_seen, named
from series.years.calendars import resolve
from series.years.readings import Reading, YearError, figures, read_year
from series.years.struck import ShownIssue, struck

VALUE_RIGHT = 0.95
OTHER_WORDS = 30
DIGIT_RIGHT = 0.97
CONVERTED = 0.05
OTHER_CALENDAR = 0.1
DATE_FLOOR = 1e-4
SCRIPT_RIGHT, OTHER_SCRIPTS = 0.97, 20
MOTIF_RIGHT, OTHER_MOTIFS = 0.85, 50
COUNTRY_RIGHT, OTHER_COUNTRIES = 0.85, 20
COUNTRY_MEANT = 0.3
"""How often, against its own name, a country is called by a part of it, or by a predecessor's,
a successor's or a fellow member's."""
FEWEST_OTHERS = 8
"""A mistake may also name what the records do not know."""
YEARS_ELSEWHERE = 300
"""A coin that is not in the records bears any date of the last so many years."""

MOST_STRUCK = 60
"""Years of striking after the first that are considered, of a date that was kept for long."""
LIKE_ENOUGH = 80.0
"""RapidFuzz ratio (0 to 100) from which two words of four letters or more are taken for one."""

Dated = tuple[str, str, int | None, int | None]
"""Date shown, calendar, first and last civil year struck."""


_PARTS = re.compile(r"[\s/–—-]+")
_FRACTION = re.compile(r"(\d+)[⁄/](\d+)")
_SLASH = "fractionslash"


@lru_cache(maxsize=65536)
def words_of(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared; an unread letter stays ``?``.

    >>> words_of("25 TINNE"), words_of("2½ crown"), words_of("TWEN?Y")
    (('25', 'tinne'), ('2', '1/2', 'crown'), ('twen?y',))
    """
    text = "".join(
        f" {normalize('NFKD', each)} "
        if numeric(each, None) is not None and not each.isdecimal()
        else each
        for each in text
    )
    words: list[str] = []
    for word in _FRACTION.sub(rf"\1{_SLASH}\2", text).split():
        folded = "?".join(fold(part) for part in word.split("?"))
        words += folded.replace(_SLASH, "/").split()
    return tuple(words)


@lru_cache(maxsize=65536)
def matches_word(said: str, recorded: str) -> bool:
    """Whether a word that was read may be this one: figures exactly, letters nearly."""
    if said == recorded:
        return True
    if "?" in said:
        return len(said) == len(recorded) and all(
            a in ("?", b) for a, b in zip(said, recorded, strict=True)
        )
    if said[0].isdigit() or recorded[0].isdigit() or min(len(said), len(recorded)) < 4:
        return False
    return fuzz.ratio(said, recorded) >= LIKE_ENOUGH or recorded.startswith(said)


def denomination_words(name: str) -> tuple[str, ...]:
    """The words a denomination may be known by: those of its name, and its numeral.

    >>> denomination_words("half crown")
    ('half', 'crown', '1/2')
    """
    words = words_of(name)
    figure = words_of(numeral(name))
    return (*words, *(each for each in figure if each not in words))


_NUMBERS = {fold(word): number for word, number in NUMBERS.items()}


@lru_cache(maxsize=4096)
def value_forms(said: str) -> tuple[tuple[str, ...], ...]:
    """A value in the words that were said and, where they hold a number, with it in figures.

    >>> value_forms("half crown"), value_forms("twenty-five tinne")[1]
    ((('half', 'crown'),), ('25', 'tinne'))
    """
    asked = words_of(said)
    figured: list[str] = []
    joins = False
    for word in asked:
        number = _NUMBERS.get(word)
        if joins and number is not None and number < 10:
            figured[-1] = str(int(figured[-1]) + number)
        else:
            figured.append(word if number is None else str(number))
        joins = number is not None and number >= 20
    return (asked,) if tuple(figured) == asked else (asked, tuple(figured))


def log_denominations(said: str, denominations: Sequence[tuple[str, ...]]) -> Floats:
    """Log chance of naming the value so, for each denomination (as ``denomination_words``)."""
    wrong = (1 - VALUE_RIGHT) / _others(OTHER_WORDS, {w for each in denominations for w in each})

    def chance(asked: tuple[str, ...], words: tuple[str, ...]) -> float:
        right = VALUE_RIGHT / max(len(words), 1)
        hits = (any(matches_word(word, each) for each in words) for word in asked)
        return sum(math.log(right if hit else wrong) for hit in hits)

    forms = value_forms(said)
    return np.array([max(chance(form, words) for form in forms) for words in denominations])


def log_dates(said: str, calendar: str, dates: Sequence[Dated]) -> Floats:
    """Log chance of reading the date so, for each date that the records know."""
    read = _Read.of(said, calendar)
    return np.array([math.log(_date_chance(read, each)) for each in dates])


@dataclass(frozen=True)
class _Read:
    """A date as it was read: its figures, the calendars named, its readings.

    ``years`` are the civil years it may mean if it was given as a civil year.
    """

    figures: str
    calendars: frozenset[str]
    readings: tuple[Reading, ...]
    years: frozenset[int]

    @classmethod
    def of(cls, said: str, calendar: str) -> _Read:
        try:
            readings = read_year(said, calendar)
        except YearError:
            readings = ()
        civil = [each for each in readings if each.calendar in ("civil", "julian")]
        years = {year for each in civil for year in range(each.civil_from, each.civil_to + 1)}
        return cls(figures(said), _calendars(calendar), readings, frozenset(years))


def _date_chance(read: _Read, date: Dated) -> float:
    shown, calendar, first, last = date
    chance = DATE_FLOOR
    runs = _runs(shown)
    if runs and read.figures:
        for run in runs:
            if len(run) == len(read.figures):
                chance = max(chance, digits_chance(read.figures, run))
    elif struck(read.readings, (ShownIssue(shown, calendar, first, last),)):
        chance = DIGIT_RIGHT
    if chance > DATE_FLOOR and read.calendars and not _calendars(calendar) & read.calendars:
        chance *= OTHER_CALENDAR
    if chance < CONVERTED and _was_struck(read.years, first, last):
        chance = CONVERTED
    return chance


def _was_struck(years: Collection[int], first: int | None, last: int | None) -> bool:
    if first is None:
        return False
    end = min(last if last is not None else first, first + MOST_STRUCK)
    return any(year in years for year in range(first, end + 1))


def struck_in(said: str, calendar: str, dates: Sequence[Dated]) -> list[bool]:
    """Whether each was struck in the civil year that was said, whatever date it shows.

    >>> struck_in("1969", "", [("١٣٨٩", "AH", 1969, 1970), ("1953", "civil", 1953, None)])
    [True, False]
    """
    years = _Read.of(said, calendar).years
    return [_was_struck(years, first, last) for *_, first, last in dates]


@lru_cache(maxsize=65536)
def _runs(shown: str) -> tuple[str, ...]:
    """The dates in figures that a record shows: as a whole, and each of two (1776–1976)."""
    parts = (shown, *_PARTS.split(shown))
    return tuple(dict.fromkeys(filter(None, (figures(part) for part in parts if part))))


@lru_cache(maxsize=256)
def _calendars(name: str) -> frozenset[str]:
    found = set(resolve(name)) if name else set()
    return frozenset(found | ({"hijri", "umm-al-qura"} if "hijri" in found else set()))


def digits_chance(pattern: str, figure: str) -> float:
    """The chance of reading these figures off that date.

    >>> round(digits_chance("19?8", "1948"), 6), round(digits_chance("1938", "1948"), 6)
    (0.912673, 0.003042)
    """
    chance = 1.0
    for said, true in zip(pattern, figure, strict=True):
        if said != "?":
            chance *= DIGIT_RIGHT if said == true else (1 - DIGIT_RIGHT) / 9
    return chance


def log_date_elsewhere(said: str, calendar: str) -> float:
    """The same for a coin that is not in the records."""
    readings = _Read.of(said, calendar).readings
    years = {year for each in readings for year in range(each.civil_from, each.civil_to + 1)}
    return math.log(min(max(len(years), 1) / YEARS_ELSEWHERE, 1.0))


def log_scripts(said: str, sets: Sequence[Collection[str]]) -> Floats:
    """Log chance of seeing this script (ISO 15924 code), for each set of them; nan for none."""
    return np.array([_log_script(said, as_seen(each)) for each in sets])


def _log_script(said: str, seen: Collection[str]) -> float:
    if not seen:
        return math.nan
    right = SCRIPT_RIGHT * len(named(said, seen)) / len(seen)
    return math.log(right or (1 - SCRIPT_RIGHT) / OTHER_SCRIPTS)


def motifs_named(said: str, motifs: Sequence[tuple[str, ...]]) -> NDArray[np.bool_]:
    """Which motifs (as ``words_of``) may be meant by what was said; by any of its words."""
    asked = [word for word in words_of(said) if len(word) > 2] or list(words_of(said))
    return np.array(
        [any(matches_word(word, each) for word in asked for each in words) for words in motifs],
        dtype=bool,
    )


def log_motif(named: NDArray[np.bool_], counts: Floats, motifs: Sequence[str]) -> Floats:
    """Log chance of naming a motif, from whether one of a type's is meant and how many it has."""
    wrong = (1 - MOTIF_RIGHT) / _others(OTHER_MOTIFS, motifs)
    chance = np.where(named, MOTIF_RIGHT / np.maximum(counts, 1), wrong)
    return np.where(counts > 0, np.log(chance), np.nan)


Country = tuple[str, tuple[str, ...], tuple[str, ...]]
"""A country's name, its own names and codes, and those of countries it may be taken for."""


def log_countries(said: Iterable[str], countries: Sequence[Country]) -> Floats:
    """Log chance of guessing so, for each country.

    >>> union = ("Union", ("Union", "UN"), ("Northland", "NL"))
    >>> [round(float(x), 2) for x in np.exp(log_countries(["northland"], [union]))]
    [0.26]
    """
    asked = [words_of(each) for each in said]
    wrong = (1 - COUNTRY_RIGHT) / _others(OTHER_COUNTRIES, countries)
    named = (max(_named(words, each) for words in asked) for each in countries)
    return np.array([math.log(max(COUNTRY_RIGHT * share, wrong)) for share in named])


def _others(most: int, things: Collection[object]) -> int:
    """How many others a mistake may fall on: about as many as the records know, up to ``most``."""
    return max(FEWEST_OTHERS, min(most, len(things) - 1))


def _longer_code(said: str, known: tuple[str, ...]) -> bool:
    """Whether three letters begin with a code of two: as most codes of ISO 3166-1 do."""
    return len(known) == 1 and len(known[0]) == 2 and len(said) == 3 and said[:2] == known[0]


@lru_cache(maxsize=65536)
def _named(words: tuple[str, ...], country: Country) -> float:
    """1 where the country itself is named, less where it may be meant, else 0."""
    _, own, related = country
    if any(words_of(name) == words for name in own):
        return 1.0
    for name in (*own, *related):
        known = words_of(name)
        if name in own and len(known) > 1 and set(known) <= set(words):
            return 1.0
        code = len(words) == 1 and len(words[0]) == 2
        part = all(any(matches_word(word, each) for each in known) for word in words)
        part = part or (len(words) == 1 and _longer_code(words[0], known))
        if known == words or (part and not code):
            return COUNTRY_MEANT
    return 0.0
