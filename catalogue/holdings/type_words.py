"""Which types the words of a search point to, from their texts and years kept in memory.

Computed: the ids of the types that every word points to, those struck latest first (types
without a year last), then by id. A word points to a type when a word of the type's text begins
with it; a year (1000 to 2099) also when it lies in the type's years.

Units: years of the Common Era; texts and words come folded, words parted by single spaces.
Source: none, a rule of ours; held against the same rule in SQL by a test.

It never changes: ``patched`` gives a new one in which some types are new or different.

>>> gull = TypeWords(5, "25 tinne halvern gull", 1931, 1953)
>>> lamp = TypeWords(9, "1 marl halvern lighthouse", 1960, None)
>>> texts = TypeTexts.of([gull, lamp])
>>> texts.found(["hal"]), texts.found(["1947", "tin"]), texts.found(["arl"])
([5, 9], [5], [])
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from catalogue.holdings.haystack import Haystack

_YEAR = re.compile(r"1\d{3}|20\d{2}")
_NO_YEAR = -(2**31)
_SETTLE_AFTER = 1_000  # texts patched before all are worked into the index again

Numbers = NDArray[np.int64]


def is_year(word: str) -> bool:
    """Whether a word of a search may be meant as a year."""
    return _YEAR.fullmatch(word) is not None


@dataclass(frozen=True, slots=True)
class TypeWords:
    """A type by its id: its folded text and the years it was struck in, as far as known."""

    id: int
    text: str
    first_year: int | None
    last_year: int | None


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

    @classmethod
    def of(cls, types: Iterable[TypeWords]) -> TypeTexts:
        return cls().patched(types)

    def patched(self, types: Iterable[TypeWords], gone: Iterable[int] = ()) -> TypeTexts:
        """The same with these types new or in place of what had their ids, and without others."""
        places = dict(self.places)
        rows = {places.setdefault(each.id, len(places)): each for each in types}
        for type_id in gone:
            if type_id in places:
                rows[places[type_id]] = TypeWords(type_id, "", None, None)
        size = len(places)
        columns = [np.full(size, _NO_YEAR, dtype=np.int64) for _ in range(3)]
        for new, old in zip(columns, (self.ids, self.firsts, self.lasts), strict=True):
            new[: len(old)] = old
        for place, each in rows.items():
            columns[0][place] = each.id
            columns[1][place] = _NO_YEAR if each.first_year is None else each.first_year
            columns[2][place] = _NO_YEAR if each.last_year is None else each.last_year
        stack = self.stack.patched({place: each.text for place, each in rows.items()}, size)
        if len(stack.patch) > _SETTLE_AFTER:
            stack = stack.settled()
        return TypeTexts(stack, places, *columns)

    def found(self, words: Sequence[str]) -> list[int]:
        """The ids of the types that all words point to; none for no words."""
        if not words:
            return []
        fit = np.ones(len(self.ids), dtype=np.bool_)
        for word in words:
            points = self.stack.beginning(word)
            if is_year(word):
                year = int(word)
                known = (self.firsts != _NO_YEAR) & (self.lasts != _NO_YEAR)
                points |= known & (self.firsts <= year) & (year <= self.lasts)
            fit &= points
        at = np.flatnonzero(fit)
        order = np.lexsort((self.ids[at], -self.lasts[at]))
        ids: list[int] = self.ids[at[order]].tolist()
        return ids
