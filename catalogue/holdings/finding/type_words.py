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
_LINES = 6
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


def _figures_of(each: SearchedType) -> tuple[int, ...]:
    """A type's id, years, value, currency and country, as whole numbers."""
    years = (_NO_YEAR if year is None else year for year in (each.first_year, each.last_year))
    return each.id, *years, each.denomination, each.currency, each.country


@dataclass(frozen=True, slots=True)
class TypeTexts:
    """Types searched by the beginnings of words; see the module's docstring.

    ``figures``: a line each for ids, first and last years, denominations, currencies, countries.
    """

    stack: Haystack = field(default_factory=Haystack)
    places: Mapping[int, int] = field(default_factory=dict)  # of each id in the figures
    figures: Numbers = field(default_factory=lambda: np.zeros((_LINES, 0), dtype=np.int64))
    meanings: Meanings = field(default_factory=Meanings)

    @classmethod
    def of(cls, types: Iterable[SearchedType], meanings: Meanings | None = None) -> TypeTexts:
        """From types of which none comes twice; each is let go of at once."""
        gathered = array("q")

        def texts() -> Iterator[str]:
            for each in types:
                gathered.extend(_figures_of(each))
                yield each.text

        stack = Haystack.of(texts())
        by_type = np.array(gathered, dtype=np.int64).reshape(-1, _LINES)
        return cls._placed(stack, np.ascontiguousarray(by_type.T), meanings or Meanings())

    @classmethod
    def _placed(cls, stack: Haystack, figures: Numbers, meanings: Meanings) -> TypeTexts:
        places = {type_id: place for place, type_id in enumerate(figures[0].tolist())}
        return cls(stack, places, figures, meanings)

    def patched(self, types: Iterable[SearchedType], gone: Iterable[int] = ()) -> TypeTexts:
        """The same with these types new or in place of what had their ids, and without others."""
        places = dict(self.places)
        rows = {places.setdefault(each.id, len(places)): each for each in types}
        for type_id in gone:
            if type_id in places:
                rows[places[type_id]] = SearchedType(type_id, "", None, None)
        size = len(places)
        figures = np.full((_LINES, size), _NO_YEAR, dtype=np.int64)
        figures[:, : len(self)] = self.figures
        for place, each in rows.items():
            figures[:, place] = _figures_of(each)
        stack = self.stack.patched({place: each.text for place, each in rows.items()}, size)
        if len(stack.patch) > _SETTLE_AFTER:
            stack = stack.settled()
        return replace(self, stack=stack, places=places, figures=figures)

    @property
    def ids(self) -> Numbers:
        return self.figures[0]

    def __len__(self) -> int:
        return len(self.ids)

    def packed(self) -> tuple[Arrays, dict[str, Any]]:
        """As arrays, to be kept on disk, without the meanings."""
        return self.stack.settled().packed("stack") | {"figures": self.figures}, {}

    @classmethod
    def unpacked(cls, arrays: Arrays, meanings: Meanings) -> TypeTexts:
        """What was packed, with these meanings."""
        return cls._placed(Haystack.unpacked("stack", arrays), arrays["figures"], meanings)

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
        ids, _firsts, lasts = self.figures[:3, at]
        order = np.lexsort((ids, -lasts, meant[at]))
        ordered: list[int] = ids[order].tolist()
        return ordered

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
            firsts, lasts = self.figures[1:3]
            known = (firsts != _NO_YEAR) & (lasts != _NO_YEAR)
            points |= known & (firsts <= term.year) & (term.year <= lasts)
        return points

    def _meant(self, term: Term) -> Truths:
        """Whether a type is worth an amount, or of a country's own or later money."""
        points = np.zeros(len(self.ids), dtype=np.bool_)
        values, currencies, countries = self.figures[3:]
        if worth := self.worth(term):
            points |= np.isin(values, list(worth))
        if term.word:
            named, shared = self.meanings.called(term.word)
            points |= np.isin(countries, list(named)) | np.isin(currencies, list(shared))
        return points
