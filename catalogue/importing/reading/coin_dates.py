"""The date on a coin as it stands in a list, with mint marks behind or before it.

Computed: a ``CoinDate`` from a cell such as "1944-D", "ca. 1890", "1371", "昭和35", "1957*59" or
"2002 (A)": its civil years as EDTF (Library of Congress, 4 February 2019), what the coin shows, the
letters that may be a mint's, and a purpose where the words name one; and the words that are left.
What is no plain year of the common era is read by ``series.years.readings``, and the first reading
counts. Words are common usage in several languages, no source.

>>> read_coin_date("1944-D")
(CoinDate(text='1944-D', edtf='1944', first=1944, last=1944, shown='1944', marks=('D',), \
purpose=''), ())
>>> read_coin_date("ca. 1890")[0].edtf, read_coin_date("19?8")[0].edtf, read_coin_date("1950 x")[1]
('1890~', '19X8', ())
>>> [read_coin_date(text)[0].edtf for text in ("昭和35", "1371", "1966/68")]
['1960', '[1951,1952]', '[1966..1968]']
>>> read_coin_date("o. J."), read_coin_date("no idea")
((CoinDate(text='o. J.', edtf='', first=None, last=None, shown='', marks=(), purpose=''), ()), None)
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from functools import lru_cache

from catalogue.importing.reading.lists import CoinDate
from series.dates.edtf import DateError, parse_edtf
from series.dates.written import complete_year
from series.text.folding import fold
from series.years.readings import YearError, read_year

_FIRST, _NEXT = 1500, date.today().year + 1
_ABOUT = re.compile(
    r"(?:\b(?:circa|ca|um|etwa|vers|env|environ|about|around|approx|hacia|rond|omkring|około|ok|c)\b"
    r"\.?|[~≈±])\s*(?=[0-9])",
    re.IGNORECASE,
)
_UNDATED = re.compile(
    r"\W*(?:o\.?\s?j\.?|ohne\s+jahr\w*|s\.?\s?d\.?|s/d|sans\s+date|n\.?\s?d\.?|no\s+date|undated|"
    r"z\.?\s?j\.?|zonder\s+jaar\w*|u\.?\s?å\.?|b\.?\s?d\.?|b\.?\s?r\.?|bez\s+daty|sin\s+fecha|"
    r"s\.?\s?f\.?|senza\s+data|sem\s+data|utan\s+år\w*|uden\s+år\w*)\W*",
    re.IGNORECASE,
)
_PURPOSES = {
    "proof": "proof|prf|pp|polierte platte|belle epreuve|be|fondo specchio|fs|prueba|spiegelglans|"
    "proof like|lustrzanka|polert",
    "pattern": "pattern|probe|essai|prova|proef|prob|proba|próba|ensayo",
}
_PURPOSE_OF = {fold(w): name for name, words in _PURPOSES.items() for w in words.split("|")}
_CORE = re.compile(
    r"(?<![\w])(?P<first>(?:1[0-9xX?]|20|2[xX?])[0-9xX?_]{2}|[12]\d{2}[-_–](?!\d))"
    r"(?![0-9])(?P<unsure>\s?\(?\?\)?)?"
    r"(?:\s*(?P<link>[-–—/]|\*|\b(?:or|oder|ou|of|eller|lub|bis|to|till|tot|à)\b)\s*"
    r"(?P<second>\d{4}|\d{1,2})(?!\d))?",
    re.IGNORECASE,
)
_ISO_DAY = re.compile(r"(1[5-9]\d\d|20\d\d)-(\d\d)-(\d\d)(?:[ T][\d:.]+)?")
_DAY = re.compile(r"\d{1,2}[./-]\d{1,2}[./-]((?:1[5-9]|20)\d\d)")
_TWO = re.compile(
    r"(?:AH\s*)?(?P<shown>1[2-4]\d\d|2[45]\d\d|\d{2,3})(?:\s*(?:AH|BE))?\s*[(=\[]\s*"
    r"(?P<civil>(?:1[5-9]|20)\d\d)(?:\s*[/–-]\s*(?P<next>\d{2,4}))?\s*[)\]]?\s*(?P<mark>[A-Z]{0,2})"
)
_SHORT = re.compile(r"['’´`](\d\d)")
_MARK = re.compile(r"[A-Z][A-Za-z]?|[a-z]")
_NO_MARKS = {
    *("ah", "ad", "ce", "be", "sh", "am", "bc", "se", "vs", "rs", "cs"),
    *("vf", "ef", "xf", "au", "vg", "ag", "fr", "ms", "pr", "pf", "ss", "vz", "st", "bu", "sg"),
}
"""Letters that are an era or a grade rather than a mint."""


def purpose_in(text: str) -> str:
    """The purpose that words of a text name, "" for none.

    >>> purpose_in("PP, berührt"), purpose_in("vz")
    ('proof', '')
    """
    folded = f" {fold(text)} "
    return next((name for word, name in _PURPOSE_OF.items() if f" {word} " in folded), "")


@lru_cache(maxsize=50_000)
def read_coin_date(text: str) -> tuple[CoinDate, tuple[str, ...]] | None:
    """The date that a cell names and the folded words left over; None where there is none."""
    said = re.sub(r"^c(?=1[5-9]\d\d|20\d\d)", "ca ", " ".join(text.split()))
    if not said or len(said) > 100:
        return None
    if _UNDATED.fullmatch(said):
        return CoinDate(text), ()
    return _plainly(text, said) or _otherwise(text, said)


def _plainly(text: str, said: str) -> tuple[CoinDate, tuple[str, ...]] | None:
    """A year of the common era, alone or with what stands around it."""
    day = _ISO_DAY.fullmatch(said) or _DAY.fullmatch(said)
    if day:  # a spreadsheet made a day of it, or it is one: the year is what a coin can show
        year = int(day[1])
        return CoinDate(text, day[1], year, year, day[1]), (said,)
    if two := _TWO.fullmatch(said):
        return _in_two_calendars(text, two), ()
    if short := _SHORT.fullmatch(said):
        return _dated(CoinDate(text, shown=said), f"XX{short[1]}"), ()
    matches = [match for match in _CORE.finditer(said) if _is_year(match["first"])]
    if not matches or (not said.isascii() and re.search(r"[^\W\D0-9]", said)):
        return None
    match = matches[0]
    found = _years(text, match)
    if found is None:
        return None
    coin_date, left = found
    about = _ABOUT.search(said[: match.end()])
    before = said[: match.start()] if about is None else said[: about.start()]
    if about is not None and "~" not in coin_date.edtf and ".." not in coin_date.edtf:
        coin_date = replace(coin_date, edtf=_qualified(coin_date.edtf))
    return _with_words(coin_date, before, said[match.end() :], left)


def _in_two_calendars(text: str, match: re.Match[str]) -> CoinDate:
    """A year of another calendar with its civil year, or both of them, beside it."""
    edtf = match["civil"]
    if match["next"]:
        edtf = f"[{edtf}..{edtf[: 4 - len(match['next'])]}{match['next']}]"
    marks = (match["mark"],) if match["mark"] else ()
    return _dated(CoinDate(text, shown=match["shown"], marks=marks), edtf)


def _is_year(figures: str) -> bool:
    if figures.isdigit():
        return _FIRST <= int(figures) <= _NEXT
    return sum(char.isdigit() for char in figures) >= 2


def _years(text: str, match: re.Match[str]) -> tuple[CoinDate, tuple[str, ...]] | None:
    """The date from the figures alone; what of them is no date is left over."""
    figures = re.sub(r"[xX?_–-]", "X", match["first"])
    link, second = match["link"], match["second"]
    shown = match["first"]
    if not figures.isdigit():
        return _dated(CoinDate(text, shown=shown), figures), (() if not link else (match[0],))
    unsure = "?" if match["unsure"] else ""
    plain = _dated(CoinDate(text, shown=shown), figures + unsure)
    if not link or not second:
        return plain, ()
    if link == "*" or (link == "/" and len(second) == 1):
        return plain, (f"{link}{second}",)  # the year in the star, or another figure beneath
    try:
        last = complete_year(int(figures), second)
    except DateError:
        other = read_calendars(f"{shown}/{second}")
        return (other, ()) if other and len(second) == 4 else (plain, (f"{link}{second}",))
    if len(second) == 4 and last - int(figures) > 150 and last <= _NEXT:
        both = f"{shown}{link}{second}"  # a year remembered, and the one it was struck in
        return _dated(CoinDate(text, shown=both), second), ()
    if last - int(figures) > 150 or last > _NEXT:
        return plain, (f"{link}{second}",)
    either = link.isalpha() and link.lower() not in {"bis", "to", "till", "tot", "à"}
    edtf = f"[{figures},{last}]" if either else f"[{figures}..{last}]"
    return _dated(CoinDate(text, shown=match[0].strip()), edtf), ()


def _dated(coin_date: CoinDate, edtf: str) -> CoinDate:
    """The date with its EDTF and the first and last year of it."""
    try:
        read = parse_edtf(edtf)
    except DateError:
        return coin_date
    return replace(coin_date, edtf=edtf, first=read.lower_year, last=read.upper_year)


def _qualified(edtf: str) -> str:
    return f"{edtf[:-1]}%" if edtf.endswith("?") else edtf if edtf.startswith("[") else f"{edtf}~"


def _with_words(
    coin_date: CoinDate, before: str, after: str, left: tuple[str, ...]
) -> tuple[CoinDate, tuple[str, ...]]:
    """The date with the marks and the purpose that stand around it."""
    marks: list[str] = []
    words = [*left]
    purpose = purpose_in(f"{before} {after}")
    both = re.search(r"(?<!\w)[A-Z]/[A-Z](?!\w)", after)
    if both is not None:
        marks += both[0].split("/")
        after = after.replace(both[0], " ")
    if glued := re.match(r"([a-qs-z])(?!\w)", after):  # but for the Polish "r."
        marks.append(glued[1])
        after = after[1:]
    for side in (before, after):
        for word in re.findall(r"[^\s,;/()\[\]]+", side):
            bare = word.strip("-–.'’\"")
            if _MARK.fullmatch(bare) and not marks and not _is_taken(bare):
                marks.append(bare)
            elif fold(bare) and fold(bare) not in _PURPOSE_OF and not _is_label(bare):
                words.append(fold(bare))
            elif bare and not fold(bare):
                words.append(bare)
    return replace(coin_date, marks=tuple(marks), purpose=purpose), tuple(words)


def _is_taken(word: str) -> bool:
    return (
        fold(word) in _PURPOSE_OF or word.lower() in _NO_MARKS or word in ("c", "y", "e", "o", "r")
    )


def _is_label(word: str) -> bool:
    """Whether a word only says that a year or a mark stands beside it."""
    return (
        fold(word) in {"jahr", "year", "annee", "ano", "anno", "aar", "ar", "jaar", "rok"}
        or word == "r"
    )


@lru_cache(maxsize=20_000)
def read_calendars(text: str) -> CoinDate | None:
    """A date in another calendar or other figures; the first reading counts."""
    try:
        readings = read_year(text)
    except (YearError, ValueError, OverflowError):
        return None
    if not readings:
        return None
    first = readings[0]
    return CoinDate(text, first.edtf, first.civil_from, first.civil_to, text)


def _otherwise(text: str, said: str) -> tuple[CoinDate, tuple[str, ...]] | None:
    """A date in another calendar, with or without a word beside it."""
    whole = None if said.isdigit() and len(said) < 4 else read_calendars(said)
    if whole is not None:
        return replace(whole, text=text), ()
    if (short := re.fullmatch(r"(\d{4})([A-Z]{1,2})", said)) and (year := read_calendars(short[1])):
        return replace(year, text=text, marks=(short[2],)), ()
    return None
