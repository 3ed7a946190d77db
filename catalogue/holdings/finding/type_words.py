"""Which types the words of a search point to, from their texts and years kept in memory.

Computed: the ids of the types that every term points to, first those that say all of it in words,
then those struck latest (types without a year last), then by id. A term points to a type when
each word of one of its forms begins a word of the type's text; a year (1000 to 2099) also when it
lies in the type's years; an amount also when the type is worth as much; a country also when the
type is of money that it shares or went over to.

Units: years of the Common Era; texts and words come folded, words parted by single spaces.
Source: none, a rule of ours; held against the same rule in SQL by a test.

It never changes: ``patched`` gives a new one in which some types are new or different.

>>> from catalogue.holdings.finding.coin_words import read_words
>>> gull = SearchedType(5, "25 tinne halvern gull", 1931, 1953)
>>> lamp = SearchedType(9, "1 marl halvern lighthouse", 1960, None)
>>> texts = TypeTexts.of([gull, lamp])
>>> def found(text): return texts.found(read_words(text).terms)
>>> found("hal"), found("1947 tin"), found("arl"), found("2tinne"), found("25tin")
([5, 9], [5], [], [], [5])
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalogue.holdings.finding.coin_words import Term
from catalogue.holdings.finding.meanings import Ids, Meanings
from catalogue.holdings.search.haystack import Haystack
from series.arrays import Arrays

_NO_YEAR = -(2**31)
_COLUMNS = ("ids", "firsts", "lasts", "denominations", "currencies", "countries")
_SETTLE_AFTER = 1_000  # texts patched before all are worked into the index again

Numbers = NDArray[np.int64]
Truths = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class SearchedType:
    """A type by its id: its folded text, the years it was struck in, and what it belongs to.

    ``denomination``, ``currency`` and ``country`` are ids; 0 is none.
    """

    id: int
    text: str
    first_year: int | None
    last_year: int | None
    denomination: int = 0
    currency: int = 0
    country: int = 0


def _row_of(each: SearchedType) -> tuple[int, ...]:
    """A type's row of the columns."""
    return (
        each.id,
        _NO_YEAR if each.first_year is None else each.first_year,
        _NO_YEAR if each.last_year is None else each.last_year,
        each.denomination,
        each.currency,
        each.country,
    )


def _none() -> Numbers:
    return np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, slots=True)
class TypeTexts:
    """Types searched by the beginnings of words; see the module's docstring."""

    stack: Haystack = field(default_factory=Haystack)
    places: Mapping[int, int] = field(default_factory=dict)  # of each id in the columns
    ids: Numbers = field(default_factory=_none)
    firsts: Numbers = field(default_factory=_none)
    lasts: Numbers = field(default_factory=_none)
    denominations: Numbers = field(default_factory=_none)
    currencies: Numbers = field(default_factory=_none)
    countries: Numbers = field(default_factory=_none)
    meanings: Meanings = field(default_factory=Meanings)

    @classmethod
    def of(cls, types: Iterable[SearchedType], meanings: Meanings | None = None) -> TypeTexts:
        """From types of which none comes twice; each is let go of at once."""
        columns = {name: array("q") for name in _COLUMNS}

        def texts() -> Iterator[str]:
            for each in types:
                for column, value in zip(columns.values(), _row_of(each), strict=True):
                    column.append(value)
                yield each.text

        stack = Haystack.of(texts())
        filled: dict[str, Any] = {
            name: np.array(column, dtype=np.int64) for name, column in columns.items()
        }
        places = {type_id: place for place, type_id in enumerate(columns["ids"])}
        return cls(stack=stack, places=places, meanings=meanings or Meanings(), **filled)

    def patched(self, types: Iterable[SearchedType], gone: Iterable[int] = ()) -> TypeTexts:
        """The same with these types new or in place of what had their ids, and without others."""
        places = dict(self.places)
        rows = {places.setdefault(each.id, len(places)): each for each in types}
        for type_id in gone:
            if type_id in places:
                rows[places[type_id]] = SearchedType(type_id, "", None, None)
        size = len(places)
        before = [getattr(self, name) for name in _COLUMNS]
        columns = [np.full(size, _NO_YEAR, dtype=np.int64) for _ in before]
        for new, old in zip(columns, before, strict=True):
            new[: len(old)] = old
        for place, each in rows.items():
            for column, value in zip(columns, _row_of(each), strict=True):
                column[place] = value
        stack = self.stack.patched({place: each.text for place, each in rows.items()}, size)
        if len(stack.patch) > _SETTLE_AFTER:
            stack = stack.settled()
        filled: dict[str, Any] = dict(zip(_COLUMNS, columns, strict=True))
        return replace(self, stack=stack, places=places, **filled)

    def __len__(self) -> int:
        return len(self.ids)

    def packed(self) -> tuple[Arrays, dict[str, Any]]:
        """As arrays, to be kept on disk, without the meanings."""
        arrays = self.stack.settled().packed("stack")
        return arrays | {name: getattr(self, name) for name in _COLUMNS}, {}

    @classmethod
    def unpacked(cls, arrays: Arrays, meanings: Meanings) -> TypeTexts:
        """What was packed, with these meanings."""
        columns = {name: arrays[name] for name in _COLUMNS}
        places = {type_id: place for place, type_id in enumerate(columns["ids"].tolist())}
        stack = Haystack.unpacked("stack", arrays)
        return cls(stack=stack, places=places, meanings=meanings, **columns)

    def found(self, terms: Sequence[Term]) -> list[int]:
        """The ids of the types that all terms point to; none for no terms."""
        if not terms:
            return []
        fit = np.ones(len(self.ids), dtype=np.bool_)
        meant = np.zeros(len(self.ids), dtype=np.int64)  # terms answered, but not in words
        for term in self._apart(terms):
            said = self._said(term)
            points = said | self._meant(term)
            meant += points & ~said
            fit &= points
        at = np.flatnonzero(fit)
        order = np.lexsort((self.ids[at], -self.lasts[at], meant[at]))
        ids: list[int] = self.ids[at[order]].tolist()
        return ids

    def _apart(self, terms: Sequence[Term]) -> Iterator[Term]:
        """The terms; a number and a word that is no unit of the records each by itself."""
        for term in terms:
            yield from term.apart if term.apart and not self.worth(term) else (term,)

    def worth(self, term: Term) -> Ids:
        """The denominations that are worth what a term names."""
        if term.amount is None:
            return frozenset()
        return self.meanings.worth(term.amount, term.units)

    def _said(self, term: Term) -> Truths:
        """Whether a type's text says a term, or its years a year."""
        points = np.zeros(len(self.ids), dtype=np.bool_)
        for form in term.forms:
            says = np.ones(len(self.ids), dtype=np.bool_)
            for word in form:
                says &= self.stack.beginning(word.text, whole=word.whole)
            points |= says
        if term.year is not None:
            known = (self.firsts != _NO_YEAR) & (self.lasts != _NO_YEAR)
            points |= known & (self.firsts <= term.year) & (term.year <= self.lasts)
        return points

    def _meant(self, term: Term) -> Truths:
        """Whether a type is worth an amount, or of a country's own or later money."""
        points = np.zeros(len(self.ids), dtype=np.bool_)
        if worth := self.worth(term):
            points |= np.isin(self.denominations, list(worth))
        if term.word:
            countries, currencies = self.meanings.called(term.word)
            points |= np.isin(self.countries, list(countries))
            points |= np.isin(self.currencies, list(currencies))
        return points
