"""Evidence on a piece in the words that are kept with it: a title, a date.

What is computed: a working title and the civil years of a date from the evidence as it was read.
Dates are EDTF (Library of Congress, 4 February 2019).

>>> from series.identifying.evidence import read_evidence
>>> seen = read_evidence({"legend": "LIB?RTY", "diameter": "24.2", "colour": "white"})
>>> working_title(seen)
'LIB?RTY, 24.2 mm, white'
>>> working_title(read_evidence({"legend": "جزر", "diameter": "21"})).startswith("21 mm, ")
True
>>> working_title(read_evidence({"year": "١٣?٨", "script": "Arab"}))  # signs and ? change places
'13?8, Arabic'
>>> in_its_order("١٣?٨") == "١٣\u200e?\u200e٨"
True
>>> civil_years("19?8"), civil_years("١٣٨٩", "AH"), civil_years("١٣?٩")
('19X8', '[1969,1970]', '[1891..2021]')
>>> civil_years("١٣?٩", "AH", [ShownIssue("١٣٨٩", "AH", 1969, 1970)])
'[1969,1970]'
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

from series.identifying.evidence import Evidence
from series.text.scripts import script_name
from series.years.reading import Reading
from series.years.readings import YearError, figures, read_year
from series.years.struck import ShownIssue, struck

LONGEST_TITLE = 200
MOST_YEARS = 4
TITLE_PARTS = 4
_LONGEST_PART = 70
_ARABIC = re.compile("[\u0660-\u0669]")
_FIGURES = re.compile(r"[0-9?]{4}")


def working_title(evidence: Evidence) -> str:
    """What tells the piece from others, most telling first; "" when nothing was said of it."""
    measures = [
        f"{measured.value:g} {unit}"
        for measured, unit in ((evidence.diameter, "mm"), (evidence.mass, "g"))
        if measured is not None
    ]
    told = [
        evidence.legend,
        evidence.denomination,
        _unturned(evidence.year),
        ", ".join(evidence.motifs),
        *measures[:1],
        evidence.colour,
        ", ".join(evidence.countries),
        *measures[1:],
        "" if evidence.outline in ("", "round") else evidence.outline,
        "" if evidence.hole in ("", "none") else f"{evidence.hole} hole",
        script_name(evidence.script),
    ]
    parts = [_short(part) for part in told if part][:TITLE_PARTS]
    parts.sort(key=_runs_to_the_left)  # last, where they do not turn what follows
    return ", ".join(parts)[:LONGEST_TITLE]


def _unturned(year: str) -> str:
    """A date for a title: in our figures where showing it would turn the order of its own."""
    return figures(year) if "?" in year and _ARABIC.search(year) else year


def _runs_to_the_left(text: str) -> bool:
    return any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in text)


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_PART else text[: _LONGEST_PART - 2].rstrip() + " …"


def civil_years(year: str, calendar: str = "", issues: Sequence[ShownIssue] = ()) -> str:
    """The civil years a date may mean, as EDTF; "" when it cannot be read.

    With ``issues`` of the type it is of, only readings that were struck, where there are any. A
    date in our own figures keeps its unread ones unless the issues rule some years out; more than
    MOST_YEARS are named as the span from the first to the last.
    """
    try:
        readings = read_year(year, calendar)
    except YearError:
        return ""
    shown = struck(readings, issues)
    years = _years_of(shown or readings)
    digits = figures(year)
    settled = shown and (len(years) <= MOST_YEARS or len(years) < 10 ** digits.count("?"))
    if readings[0].calendar == "civil" and _FIGURES.fullmatch(digits) and not settled:
        return digits.replace("?", "X")
    if len(years) == 1:
        return f"{years[0]:04d}"
    if len(years) <= MOST_YEARS:
        return f"[{','.join(f'{each:04d}' for each in years)}]"
    return f"[{years[0]:04d}..{years[-1]:04d}]"


def _years_of(readings: Iterable[Reading]) -> list[int]:
    return sorted({each for r in readings for each in range(r.civil_from, r.civil_to + 1)})


def in_its_order(year: str) -> str:
    """A date as it stands on the coin, from left to right also where ``?`` parts Arabic figures.

    Of the bidirectional algorithm (Unicode Standard Annex 9, rule N1): a sign between Arabic
    figures turns their order, unless left-to-right marks stand at its sides. For showing only.
    """
    return year.replace("?", "\u200e?\u200e") if _ARABIC.search(year) else year
