"""Which coin of the reference a row of a list means.

Computed: the types and issues that a ``Reading`` may mean, with their shares of the likelihood. The
country comes first, then the value, exactly, in a money of that country, then the date with its
marks; what is left is weighed by metal, words and measures (``evidence.py``). A match is sure when
one type is left, or one is at least nineteen times likelier than all others, and nothing speaks
against it. What the reference lacks is said in words.

>>> reference = Reference.of(
...     [IssuerFacts("us", "United States", "US")],
...     [CurrencyFacts("usd", "US dollar", "", "$", "USD", ("us",),
...                    (UnitFacts("cent", "cents", "c", Fraction(100)),))],
...     [DenominationFacts("cent", "1 cent", "usd", Fraction(1, 100))],
...     [SeriesFacts("s", "Circulating", "us", "usd")],
...     [TypeFacts("memorial", "s", "cent", issues=(
...         IssueFacts("1969-s", "1969 S", "1969", 1969, 1969, ("S",)),
...         IssueFacts("1969", "1969", "1969", 1969, 1969)))])
>>> penny = {"country": named("USA"), "denomination": read_value("penny")}
>>> match(Reading(1, values={**penny, "date": read_coin_date("1969-S")[0]}), reference)
Match(candidates=(Candidate(type_key='memorial', issue_key='1969-s', share=1.0),), sure=True, \
why='Country, value and date are those of one type alone.')
>>> match(Reading(1, values={**penny, "date": read_coin_date("1944")[0]}), reference).why
'The catalogue has this value of United States, but none dated 1944.'
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import MAXYEAR, MINYEAR, date
from fractions import Fraction
from typing import NamedTuple

from babel.numbers import get_territory_currencies

from catalogue.importing import words as say
from catalogue.importing.reading.coin_dates import read_coin_date
from catalogue.importing.reading.countries import named
from catalogue.importing.reading.countries_meant import countries_meant
from catalogue.importing.reading.evidence import (
    Said,
    as_written,
    contradicts,
    marks,
    of_another,
    unexplained,
)
from catalogue.importing.reading.facts import (
    CurrencyFacts,
    DenominationFacts,
    IssueFacts,
    IssuerFacts,
    SeriesFacts,
    TypeFacts,
    UnitFacts,
)
from catalogue.importing.reading.issues_meant import dated, issues_meant, marked, mint_letters
from catalogue.importing.reading.laid_out import Keys, Reference
from catalogue.importing.reading.lists import ANY_COUNTRY, CoinDate, Country, Reading, Value
from catalogue.importing.reading.row_evidence import COMMEMORATIVE, said_beside
from catalogue.importing.reading.unit_words import NAMED, UNITS
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

__all__ = [
    "Candidate",
    "CurrencyFacts",
    "DenominationFacts",
    "Fraction",
    "IssueFacts",
    "IssuerFacts",
    "Match",
    "Reference",
    "SeriesFacts",
    "TypeFacts",
    "UnitFacts",
    "match",
    "named",
    "read_coin_date",
    "read_value",
]

SURE = 0.95
MOST = 12
_CENTURY = 100
_MOST_KEPT = 10_000


@dataclass(frozen=True)
class Candidate:
    """A type, and its issue where that is told; ``share`` is its part of the likelihood (0..1)."""

    type_key: str
    issue_key: str | None
    share: float


@dataclass(frozen=True)
class Match:
    """The candidates, the likeliest first; ``sure`` when the first is all that can be meant.

    A sure type whose issue is in doubt has ``issue_key`` None. ``why`` says in words what was
    found, or why nothing was.
    """

    candidates: tuple[Candidate, ...]
    sure: bool
    why: str


class _Asked(NamedTuple):
    """What decides which types are looked at; the same for many rows."""

    country: Country
    series: str
    value: Value
    date: CoinDate | None
    marks: tuple[str, ...]
    purpose: str
    rival: Country
    """Another country that may be meant as well."""


class _Left(NamedTuple):
    """The types that country, value and date leave, or why there are none."""

    types: tuple[TypeFacts, ...]
    why: str
    told: bool
    """Whether nothing was guessed on the way."""


def match(reading: Reading, reference: Reference) -> Match:
    """The types and issues that a row may mean."""
    asked = _asked(reading, reference)
    left: _Left | None = reference.kept.get(asked)
    if left is None:
        _forget_much(reference)
        left = reference.kept[asked] = _left(asked, reference)
    if not left.types:
        return Match((), False, left.why)
    said = said_beside(reading)
    found: Match | None = reference.kept.get((asked, said))
    if found is None:
        found = reference.kept[asked, said] = _weighed(asked, said, left, reference)
    return found


def _forget_much(reference: Reference) -> None:
    """Keep what was worked out before within bounds."""
    if len(reference.kept) > _MOST_KEPT:
        reference.kept.clear()


def _asked(reading: Reading, reference: Reference) -> _Asked:
    values = reading.values
    value: Value = values.get("denomination") or Value(str(values.get("title", "")))
    coin_date: CoinDate | None = values.get("date")
    marks_said = list(coin_date.marks) if coin_date else []
    if values.get("mint_mark"):
        marks_said += [str(values["mint_mark"])]
    purpose = values.get("purpose") or (coin_date.purpose if coin_date else "")
    grade = values.get("grade")
    if not purpose and grade is not None and grade.code.startswith("PR-"):
        purpose = "proof"
    plain = replace(value, words=())
    when = replace(coin_date, text="", marks=(), purpose="") if coin_date else None
    country, rival = countries_meant(reading, reference)
    series = str(values.get("series", ""))
    return _Asked(country, series, plain, when, tuple(marks_said), purpose, rival)


def _weighed(asked: _Asked, said: Said, left: _Left, reference: Reference) -> Match:
    """What is left, ranked by what else the row says."""
    types = left.types
    weights = [math.exp(max(-30.0, mark)) for mark in marks(said, types)]
    weights = [w * _plausible(asked, said, t) for w, t in zip(weights, types, strict=True)]
    total = sum(weights)
    ranked = sorted(zip(weights, types, strict=True), key=lambda pair: -pair[0])
    candidates = tuple(
        Candidate(coin.key, _issue(coin, asked), round(weight / total, 4))
        for weight, coin in ranked[:MOST]
    )
    first = ranked[0][1]
    doubt = _doubt(asked, said, first, reference, alone=len(types) == 1)
    sure = left.told and not doubt and candidates[0].share >= SURE
    why = _why(sure, doubt, left.why, len(types))
    if sure and asked.country.misspelt:
        why = f"{why} {say.taken_for(asked.country.text, asked.country.name)}"
    return Match(candidates, sure, why)


def _why(sure: bool, doubt: str, why: str, count: int) -> str:
    if doubt:
        return doubt
    if sure:
        return say.ONE_TYPE if count == 1 else say.LIKELIEST
    return why or say.several(count)


def _doubt(asked: _Asked, said: Said, coin: TypeFacts, reference: Reference, *, alone: bool) -> str:
    """What speaks against the likeliest type, in words; "" for nothing.

    A name on a face that each country has for itself tells nothing of a type that is ``alone``.
    """
    if contradicts(said, coin):
        return say.CONTRADICTED
    if said.words & COMMEMORATIVE and coin.purpose == "circulating" and not coin.common_side:
        return say.COMMEMORATIVE
    if asked.date is None or asked.date.first is None:
        return say.NO_DATE
    if asked.date.last is not None and asked.date.last - asked.date.first >= _CENTURY:
        return say.NO_CENTURY
    if alone and coin.common_side:
        return ""
    around = reference.words_around(coin)
    other = unexplained(said, coin, around) if said.names else ""
    other = other or of_another(said, coin, reference.proper_names(coin), around)
    return say.unexplained(as_written(other, said)) if other else ""


def _plausible(asked: _Asked, said: Said, coin: TypeFacts) -> float:
    """A type struck for another purpose alone is less likely than one for circulation."""
    if asked.date is None:
        return 1.0
    found = dated(coin, asked.date)
    if found and asked.purpose and not any(issue.purpose == asked.purpose for issue in found):
        return 0.04
    usual = any(issue.purpose == "circulation" for issue in found)
    return 1.0 if not found or usual or asked.purpose else 0.5


def _issue(coin: TypeFacts, asked: _Asked) -> str | None:
    if asked.date is None:
        return None
    found = issues_meant(coin, asked.date, asked.marks, asked.purpose)
    return found[0].key if len(found) == 1 else None


def _left(asked: _Asked, reference: Reference) -> _Left:
    """The types that are left by country, value and date, in either country that may be meant."""
    nearer = _of_country(asked, reference)
    if not asked.rival.text:
        return nearer
    rival = Country("") if asked.rival.text == ANY_COUNTRY else asked.rival
    other = _of_country(asked._replace(country=rival, series=""), reference)
    more = tuple(coin for coin in other.types if coin not in nearer.types)
    if not more:
        told = nearer.told and _in_own_unit(asked, nearer.types, reference)
        return _Left(nearer.types, nearer.why or say.NO_COUNTRY, told)
    return _Left((*nearer.types, *more), say.TWO_COUNTRIES, False)


def _in_own_unit(asked: _Asked, types: Sequence[TypeFacts], reference: Reference) -> bool:
    """Whether a value is in a unit of these types' own money rather than in one like it."""
    unit = fold(asked.value.unit)
    money = {reference.denominations[coin.denomination].currency for coin in types}
    if any({unit, *asked.value.units[:1]} & reference.labels.get(key, {}).keys() for key in money):
        return True
    return any(asked.country.code in named.where for named in NAMED.get(unit, ()))


def _of_country(asked: _Asked, reference: Reference) -> _Left:
    """The types that are left by the country named, value and date."""
    country = asked.country
    if not country.text.strip():
        return _of_any_country(asked, reference)
    direct = reference.issuers_named(country)
    within = reference.issuers_named(named(asked.series)) if asked.series else frozenset()
    if within and not within & direct:
        direct = within
    if not direct and not country.currency:
        return _of_shared_money(asked, reference)
    why = ""
    for issuers in dict.fromkeys((direct, reference.family(direct))):
        currencies = reference.money_of(issuers, country.currency)
        types, why = _of_money(asked, reference, issuers, currencies)
        if types:
            told = bool(asked.value.units) or asked.value.number is None or asked.value.number < 1
            if told and _had_another(asked, reference, types, currencies):
                return _Left(types, say.OTHER_MONEY, False)
            return _Left(types, "" if told else say.NO_UNIT, told)
    return _Left((), why, False)


def _of_shared_money(asked: _Asked, reference: Reference) -> _Left:
    """The types of a money that a country without coins here used in that year, as CLDR says.

    They are told only where one face is common to all who share it.
    """
    country = asked.country
    nothing = _Left((), say.no_country(country.name or country.text), False)
    year = asked.date.first if asked.date else None
    if year is None or len(country.code) != 2 or not MINYEAR <= year <= MAXYEAR:
        return nothing
    used = get_territory_currencies(country.code, date(year, 1, 1), date(year, 12, 31))
    keys = frozenset(key for key, each in reference.currencies.items() if each.code in used)
    types, _why_not = _of_money(asked, reference, frozenset(), keys)
    shared = tuple(coin for coin in types if coin.common_side)
    return _Left(shared, "", bool(asked.value.units)) if shared else nothing


def _had_another(
    asked: _Asked, reference: Reference, types: Sequence[TypeFacts], currencies: Keys
) -> bool:
    """Whether another money of the country had this unit in the year asked for."""
    found = {reference.denominations[coin.denomination].currency for coin in types}
    year = asked.date.first if asked.date else None
    if year is None or "euro" in fold(asked.value.unit):
        return False
    for key in currencies - found:
        money = reference.currencies[key]
        if (money.first_year or 0) <= year <= (money.last_year or 9999):
            labels = reference.labels.get(key, {})
            for unit in (fold(asked.value.unit), *asked.value.units):
                if unit in labels and (labels[unit] <= 1 or money.subunit_in_use):
                    return True
    return False


def _of_any_country(asked: _Asked, reference: Reference) -> _Left:
    """The types that a row without a country can mean; told only where the unit tells it."""
    every = frozenset(reference.currencies)
    types, _why_not = _of_money(asked, reference, frozenset(), every)
    if not types:
        return _Left((), say.NO_COUNTRY, False)
    units = {unit for unit in asked.value.units if unit in UNITS or unit in NAMED}
    return _Left(types, say.NO_COUNTRY, bool(asked.value.units) and not units)


def _of_money(
    asked: _Asked, reference: Reference, issuers: Keys, currencies: Keys
) -> tuple[tuple[TypeFacts, ...], str]:
    name = asked.country.name or asked.country.text
    value = asked.value
    if "euro" in fold(value.unit):  # its cents are no other money's
        currencies = frozenset(k for k in currencies if reference.currencies[k].code == "EUR")
    worth = reference.worth(value, currencies, asked.country.code)
    if not worth:
        own = frozenset(label for key in currencies for label in reference.labels.get(key, ()))
        value = read_value(asked.value.text, own)
        worth = reference.worth(value, currencies, asked.country.code)
    if value.number is None:
        return (), say.NO_VALUE
    if not worth:
        if not reference.has_unit(value, currencies, asked.country.code):
            return (), say.no_unit(name, value.unit)
        return (), say.no_value(name)
    types = [coin for key in worth for coin in reference.types.get(key, ())]
    if asked.date is None or asked.date.first is None:
        return tuple(types), ""
    last = asked.date.last or asked.date.first
    early = reference.not_before(currencies, last) if issuers else frozenset()
    of_year = [
        coin
        for coin in types
        if reference.denominations[coin.denomination].currency not in early
        and dated(coin, asked.date)
    ]
    if not of_year:
        return (), say.no_date(name, asked.date.shown) if types else say.no_value(name)
    return tuple(_with_marks(of_year, asked)), ""


def _with_marks(types: Sequence[TypeFacts], asked: _Asked) -> Sequence[TypeFacts]:
    """Of several types those that have the marks in that year, where any has."""
    letters = mint_letters(asked.marks, asked.country.code)
    if asked.date is None or not letters or len(types) < 2:
        return types
    return [
        coin for coin in types if any(marked(i, letters) for i in dated(coin, asked.date))
    ] or types
