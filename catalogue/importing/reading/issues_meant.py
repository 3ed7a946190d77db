"""Which issues of a type a date and marks of a list mean.

Computed: of a type's issues those that show a date or were struck in its years, then those with its
marks, then those of its purpose; a mint named by its town is its mark. The letters of German and
American mints stand by their towns (from memory, common knowledge).

>>> both = TypeFacts("t", "s", "d", issues=(
...     IssueFacts("1952", "1952 (1953)", "1952", 1953, 1953),
...     IssueFacts("1953-s", "1953 S", "1953", 1953, 1953, ("S",))))
>>> of_1952, of_1953 = (CoinDate("", str(n), n, n, str(n)) for n in (1952, 1953))
>>> [issue.key for issue in issues_meant(both, of_1953, ("S",), "")]
['1953-s']
>>> [issue.key for issue in dated(both, of_1952)]
['1952']
>>> mint_letters(("Stuttgart",), "DE"), mint_letters(("no mark",), "US")
(('F',), ())
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from catalogue.importing.reading.facts import IssueFacts, TypeFacts
from catalogue.importing.reading.lists import CoinDate
from series.dates.edtf import DateError, parse_edtf
from series.text.folding import fold

_NOT_STRUCK = "not_struck"
_CIRCULATION = "circulation"
_TOWNS = {
    "DE": {
        "berlin": "A",
        "munchen": "D",
        "munich": "D",
        "muenchen": "D",
        "stuttgart": "F",
        "karlsruhe": "G",
        "hamburg": "J",
        "muldenhutten": "E",
        "muldenhuetten": "E",
    },
    "US": {
        "philadelphia": "P",
        "denuer": "D",
        "san francisco": "S",
        "west point": "W",
        "new orleans": "O",
        "carson city": "CC",
    },
}
_NONE = {
    "",
    "no mark",
    "none",
    "ohne",
    "keine",
    "sans",
    "senza",
    "sin",
    "zonder",
    "utan",
    "uden",
    "uten",
    "bez",
    "no",
}


def mint_letters(marks: Sequence[str], country: str) -> tuple[str, ...]:
    """The marks as they may stand on a coin: a town's letter, several parted by a stroke."""
    found: list[str] = []
    for mark in marks:
        if fold(mark) not in _NONE:
            letter = _TOWNS.get(country.replace("DDHH", "DE"), {}).get(fold(mark))
            found += (
                [letter] if letter else [p for p in re.split(r"\s*[/+,&]\s*", mark) if p.strip()]
            )
    return tuple(dict.fromkeys(found))


def dated(coin: TypeFacts, date: CoinDate) -> list[IssueFacts]:
    """The issues of a date; where the type lists none, one without a key for its years."""
    if not coin.issues:
        first, last = coin.first_year or coin.last_year, coin.last_year or coin.first_year
        fits = first is not None and last is not None and date.first is not None
        within = fits and date.first <= last and (date.last or date.first) >= first  # type: ignore[operator]
        return [IssueFacts("", "", struck_from=first, struck_to=last)] if within else []
    struck = [issue for issue in coin.issues if issue.fact != _NOT_STRUCK]
    shown = _plain(date.shown)
    same = [issue for issue in struck if shown and _plain(issue.shown) == shown]
    if same:
        return same
    return [issue for issue in struck if _may_be(issue, date)]


@lru_cache(maxsize=20_000)
def _plain(shown: str) -> str:
    return re.sub(r"[\s–—-]+", "-", fold(shown) and shown.strip().lower())


def _may_be(issue: IssueFacts, date: CoinDate) -> bool:
    """Whether an issue can show a date that is written otherwise, going by its years."""
    if date.first is None or not date.edtf:
        return False
    return any(_fits(date.edtf, year) for year in _years_of(issue))


@lru_cache(maxsize=500_000)
def _years_of(issue: IssueFacts) -> list[int]:
    """The year that an issue shows, else those it was struck in."""
    years = (
        [int(issue.shown)] if re.fullmatch(r"[12]\d{3}", issue.shown) and _is_civil(issue) else []
    )
    both = re.fullmatch(r"([12]\d{3})\s?[–-]\s?([12]\d{3})", issue.shown)
    if both and issue.struck_to and abs(int(both[2]) - issue.struck_to) < 2:
        years = [int(both[1]), int(both[2])]  # a coin of two years shows no other
    if not years and issue.struck_from is not None:
        years = [*range(issue.struck_from, (issue.struck_to or issue.struck_from) + 1)][:40]
    return years


def _is_civil(issue: IssueFacts) -> bool:
    """Whether the figures shown are a year of the common era, as the years of striking tell."""
    return issue.struck_from is None or abs(int(issue.shown) - issue.struck_from) < 100


@lru_cache(maxsize=100_000)
def _fits(edtf: str, year: int) -> bool:
    try:
        return parse_edtf(edtf).may_be(year)
    except DateError:
        return False


def marked(issue: IssueFacts, letters: Sequence[str]) -> bool:
    """Whether an issue has all of these marks, or is of mints of these names."""
    own = {fold(mark) for mark in issue.marks} | {fold(mint) for mint in issue.mints}
    return bool(own) and all(fold(letter) in own for letter in letters)


def issues_meant(
    coin: TypeFacts, date: CoinDate, marks: Sequence[str], purpose: str, country: str = ""
) -> list[IssueFacts]:
    """The issues that are left; several where nothing tells them apart."""
    found = [issue for issue in dated(coin, date) if issue.key]
    letters = mint_letters(marks, country)
    if letters:
        with_marks = [issue for issue in found if marked(issue, letters)]
        with_marks = with_marks or [i for i in found if any(marked(i, [each]) for each in letters)]
        plain = [issue for issue in found if not issue.marks]
        known = any(issue.marks for issue in coin.issues)
        found = with_marks or ([] if known else plain)
    else:
        found = [issue for issue in found if not issue.marks] or found
    wanted = purpose or _CIRCULATION
    return [issue for issue in found if issue.purpose == wanted] or found
