"""The reference laid out for matching: what a country, a unit or a value of a list may mean in it.

Computed: the issuers that a country's name or code means, with those before and after them; the
moneys they used and that followed; the denominations that are worth a value; the types of these.
Values are exact in main units of their money. What two moneys call alike is told by the country.

>>> sund = Reference.of(
...     [IssuerFacts("hal", "Halvern"), IssuerFacts("us", "United States", "US")],
...     [CurrencyFacts("usd", "US dollar", "US dollars", "$", "USD", ("us",),
...                    (UnitFacts("cent", "cents", "c", Fraction(100)),))],
...     [DenominationFacts("q", "quarter dollar", "usd", Fraction(1, 4))],
...     [SeriesFacts("s", "Circulating", "us", "usd")], [TypeFacts("eagle", "s", "q")])
>>> sund.issuers_named(Country("USA", "US", "United States"))
frozenset({'us'})
>>> sund.worth(read_value("25c"), frozenset({"usd"}), "US"), sund.worth(read_value("quarter"), \
frozenset({"usd"}), "US")
(frozenset({'q'}), frozenset({'q'}))
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Any

from catalogue.importing.reading import countries
from catalogue.importing.reading.country_words import FORMER
from catalogue.importing.reading.facts import (
    CurrencyFacts,
    DenominationFacts,
    IssuerFacts,
    SeriesFacts,
    TypeFacts,
    UnitFacts,
)
from catalogue.importing.reading.lists import Country, Value
from catalogue.importing.reading.near_names import by_length, near
from catalogue.importing.reading.unit_words import ALIKE, NAMED, UNITS
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

__all__ = ["CurrencyFacts", "DenominationFacts", "IssuerFacts", "Reference", "SeriesFacts",
           "TypeFacts", "UnitFacts", "read_value"]  # fmt: skip

Keys = frozenset[str]
_GENERIC = frozenset(
    map(
        fold,
        [
            "islands",
            "island",
            "isles",
            "is",
            "inseln",
            "insel",
            "îles",
            "ile",
            "isole",
            "isola",
            "islas",
            "isla",
            "eilanden",
            "öarna",
            "ö",
            "øerne",
            "øyene",
            "wyspy",
            "ilhas",
            "the",
            "of",
            "and",
            "republic",
            "kingdom",
            "union",
            "state",
            "states",
            "empire",
            "colony",
            "crown",
            "republik",
            "königreich",
            "royaume",
            "repubblica",
            "regno",
            "reino",
            "koninkrijk",
            "rike",
            "rige",
            "królestwo",
            "república",
            "united",
        ],
    )
)
"""Words in the names of many states, in several languages."""


_WITHIN = re.compile(r"(?<=[a-z,;] )[A-Z][a-z]{3,}")
"""A word with a capital that begins no sentence, in a description in English."""


@dataclass(frozen=True)
class Reference:
    """See the module's docstring; made once for a whole list."""

    issuers: dict[str, IssuerFacts]
    currencies: dict[str, CurrencyFacts]
    series: dict[str, SeriesFacts]
    denominations: dict[str, DenominationFacts]
    types: dict[str, tuple[TypeFacts, ...]]
    """By denomination."""
    labels: dict[str, dict[str, Fraction]]
    """For each currency the units by their folded names: how many make one main unit."""
    values: dict[tuple[str, Fraction], Keys]
    kept: dict[Hashable, Any] = field(default_factory=dict, compare=False, repr=False)
    """Answers given before, for as long as this lives."""

    @classmethod
    def of(
        cls,
        issuers: Iterable[IssuerFacts],
        currencies: Iterable[CurrencyFacts],
        denominations: Iterable[DenominationFacts],
        series: Iterable[SeriesFacts],
        types: Iterable[TypeFacts],
    ) -> Reference:
        """The reference from its rows, in any order."""
        money = {each.key: each for each in currencies}
        coins = {each.key: each for each in denominations}
        by_denomination: dict[str, list[TypeFacts]] = defaultdict(list)
        for each in types:
            by_denomination[each.denomination].append(each)
        values: dict[tuple[str, Fraction], set[str]] = defaultdict(set)
        for coin in coins.values():
            values[coin.currency, coin.value].add(coin.key)
        return cls(
            {each.key: each for each in issuers},
            money,
            {each.key: each for each in series},
            coins,
            {key: tuple(some) for key, some in by_denomination.items()},
            {key: dict(_labels(each)) for key, each in money.items()},
            {key: frozenset(some) for key, some in values.items()},
        )

    def issuers_named(self, country: Country) -> Keys:
        """The issuers that a country's code or name means; none where it has none here."""
        return self._remembered(("named", country), lambda: self._issuers_named(country))

    def _remembered(self, key: Hashable, work_out: Callable[[], Keys]) -> Keys:
        if key not in self.kept:
            self.kept[key] = work_out()
        found: Keys = self.kept[key]
        return found

    def _issuers_named(self, country: Country) -> Keys:
        apart = re.sub("['’]", " ", country.text)
        named = f" {fold(apart)} "
        if country.code in FORMER:
            words = {
                fold(name)
                for name in (FORMER[country.code].name, *FORMER[country.code].names.split("|"))
            }
            return frozenset(k for k, i in self.issuers.items() if fold(i.name) in words)
        found = {
            key
            for key, issuer in self.issuers.items()
            if (country.code and issuer.code == country.code)
            or (country.name and fold(issuer.name) == fold(country.name))
            or _own_words(issuer.name) <= {*named.split()}
        }
        if country.code or country.name:
            return frozenset(found)
        if not found and named.strip():
            said = {*named.split()} - _GENERIC
            found = {k for k, i in self.issuers.items() if said and said <= _own_words(i.name)}
            found = found or self._cut_short(country.text)
        return frozenset(found or self._of_alike_code(country))

    def spelt_like(self, text: str) -> IssuerFacts | None:
        """The one issuer whose name a text misspells by a single slip."""
        key = self._remembered(("spelt", text), lambda: self._spelt_like(text))
        return self.issuers[next(iter(key))] if len(key) == 1 else None

    def _spelt_like(self, text: str) -> Keys:
        names = {fold(issuer.name): key for key, issuer in self.issuers.items()}
        return frozenset(names[name] for name in near(fold(text), by_length(names)))

    def proper_names(self, coin: TypeFacts) -> Keys:
        """The folded names that descriptions of types of this country and its kin say."""
        kin = self.family(frozenset({self.series[coin.series].issuer}))
        return self._remembered(("names", kin), lambda: self._proper_names(kin))

    def _proper_names(self, issuers: Keys) -> Keys:
        texts = (
            text
            for some in self.types.values()
            for coin in some
            if self.series[coin.series].issuer in issuers
            for text in (coin.name, *coin.words)
        )
        return frozenset(fold(name) for text in texts for name in _WITHIN.findall(text))

    def _cut_short(self, text: str) -> set[str]:
        """The issuers whose own name begins like a text cut short: with a stop, or four letters."""
        begun = fold(text)
        if " " in begun or len(begun) < (3 if text.strip().endswith(".") else 4):
            return set()
        words = {k: w for k, i in self.issuers.items() for w in _own_words(i.name)}
        found = {key: word for key, word in words.items() if word.startswith(begun)}
        return set(found) if len({*found.values()}) == 1 else set()

    def _of_alike_code(self, country: Country) -> set[str]:
        """The issuers whose own name, as a country's, is the one that was written."""
        names = {key: countries.named(issuer.name) for key, issuer in self.issuers.items()}
        return {key for key, one in names.items() if country.code and one.code == country.code}

    def issuer_within(self, words: str) -> IssuerFacts | None:
        """The issuer of which all own words stand among other folded words."""
        said = {*words.split()}
        found = [i for i in self.issuers.values() if _own_words(i.name) <= said]
        return max(found, key=lambda i: len(_own_words(i.name)), default=None)

    def words_around(self, coin: TypeFacts) -> Keys:
        """The folded words of a type's series, country, money and value."""
        series, value = self.series[coin.series], self.denominations[coin.denomination]
        names = [series.name, value.name, self.currencies[value.currency].name, *_GENERIC]
        for key in self.family(frozenset({series.issuer})):
            names.append(self.issuers[key].name)
        return frozenset(word for name in names for word in fold(name).split())

    def family(self, issuers: Keys) -> Keys:
        """These issuers, those before them and those after."""
        return self._remembered(("family", issuers), lambda: self._family(issuers))

    def _family(self, issuers: Keys) -> Keys:
        found = set(issuers)
        grown = True
        while grown:
            before = {
                p for key in found for p in self.issuers[key].predecessors if p in self.issuers
            }
            after = {k for k, i in self.issuers.items() if found & {*i.predecessors}}
            grown = not (before | after) <= found
            found |= before | after
        return frozenset(found)

    def money_of(self, issuers: Keys, code: str = "") -> Keys:
        """The moneys of these issuers and those that followed them; or the one of a code."""
        return self._remembered(("money", issuers, code), lambda: self._money_of(issuers, code))

    def _money_of(self, issuers: Keys, code: str) -> Keys:
        found = {
            key
            for key, each in self.currencies.items()
            if issuers & {*each.issuers} or (code and each.code == code)
        }
        found |= {each.currency for each in self.series.values() if each.issuer in issuers}
        ahead = [*found]
        while ahead:
            last = self.currencies.get(ahead.pop())
            following = last.successor if last is not None else ""
            if following in self.currencies and following not in found:
                found.add(following)
                ahead.append(following)
        return frozenset(found)

    def not_before(self, currencies: Keys, year: int) -> Keys:
        """Those of a country's moneys that came only after a year, as the one before them says."""
        former = [self.currencies[key] for key in currencies]
        return frozenset(
            each.successor for each in former if each.successor_from and year < each.successor_from
        )

    def worth(self, value: Value, currencies: Keys, code: str) -> Keys:
        """The denominations of these moneys that a value means; ``code`` is the country's."""
        key = ("worth", value, currencies, code)
        return self._remembered(key, lambda: self._worth(value, currencies, code))

    def _worth(self, value: Value, currencies: Keys, code: str) -> Keys:
        found: set[str] = set()
        if value.number is None:
            return frozenset()
        for currency in currencies:
            for number, unit in _ways(value, code):
                for per_main in self._per_main(currency, unit):
                    found |= self.values.get((currency, number / per_main), frozenset())
                if found & {k for k in found if self.denominations[k].currency == currency}:
                    break
        return frozenset(found)

    def _per_main(self, currency: str, unit: str) -> Iterator[Fraction]:
        """How many of a unit make one main unit; of no unit each of them, the main one first."""
        labels = self.labels.get(currency, {})
        if not unit:
            yield from dict.fromkeys([Fraction(1), *labels.values()])
        elif unit in labels:
            yield labels[unit]
        else:
            for alike in sorted(ALIKE.get(unit, ())) + [k for k, v in ALIKE.items() if unit in v]:
                if alike in labels:
                    yield labels[alike]
                    return
            begun = {
                per
                for label, per in labels.items()
                if len(label) > len(unit) < 3 and label.startswith(unit)
            }
            if len(begun) == 1:
                yield begun.pop()

    def has_unit(self, value: Value, currencies: Keys, code: str) -> bool:
        """Whether any of these moneys has the unit that a value is in."""
        return any(
            True
            for c in currencies
            for _n, unit in _ways(value, code)
            for _p in self._per_main(c, unit)
        )


@cache
def _own_words(name: str) -> frozenset[str]:
    """The words of a name that are not those of any state; all of them if there are no others."""
    words = frozenset(fold(name).split())
    return words - _GENERIC or words


def _ways(value: Value, code: str) -> Iterator[tuple[Fraction, str]]:
    """What a value may be as a number of a unit: as written, by a usual name, by a coin's name."""
    number = value.number or Fraction(0)
    if not value.units:
        yield number, ""
        return
    for unit in dict.fromkeys((fold(value.unit) or value.unit, *value.units)):
        for named in NAMED.get(unit, ()):
            if code in named.where:
                yield number * named.number, named.unit
        yield number, unit
        for named in NAMED.get(unit, ()):
            if not named.where or (not code and named.where):
                yield number * named.number, named.unit


def _labels(currency: CurrencyFacts) -> Iterator[tuple[str, Fraction]]:
    """The folded names of a money's units, with the usual name of each; its own names win."""
    main = [currency.name, currency.plural, currency.symbol, *currency.name.split()[-1:]]
    main += currency.plural.split()[-1:]
    own = [(name, Fraction(1)) for name in main if name]
    for unit in currency.units:
        own += [(name, unit.per_main) for name in (unit.name, unit.plural, unit.symbol) if name]
    labelled = [(fold(name) or name, per_main) for name, per_main in own]
    taken = {name for name, _per_main in labelled}
    for name, per_main in labelled:
        for usual in UNITS.get(name, ())[:1] if len(name) > 1 or not name.isalpha() else ():
            if usual not in taken:
                yield usual, per_main
    yield from reversed(labelled)
