"""The order of rows by one sort key, kept ready, so that a page is cut out without sorting.

Computed: row numbers in ascending order of key, then id, with rows that have no key behind all
others. Descending is the exact reverse within each of the two parts: rows without a key stay
last, and equal keys go by id downwards.

Units: rows numbered from 0. Keys of one ranking are all text or all numbers, already collated.
Source: none needed; the order is that of ``sorted``, which the tests run.

>>> years = [1931, None, 1925, 1931]
>>> ranking = Ranking.of(years, np.array([14, 12, 13, 11]))
>>> ranking.rows.tolist(), ranking.filled
([2, 3, 0, 1], 3)
>>> ranking.ordered(np.array([True, True, False, True]), descending=True).tolist()
[0, 3, 1]
>>> ranking.joined(years, [1928], np.array([14, 12, 13, 11, 15])).rows.tolist()
[2, 4, 3, 0, 1]
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from catalogue.holdings.search.tally import Integers, Truths

Key = str | int | float | Decimal | None

_SORT_ANEW = 20  # when more than one row in so many is new, sorting all is quicker


@dataclass(frozen=True, slots=True)
class Ranking:
    """Rows in order; from place ``filled`` on they have no key. See the module's docstring."""

    rows: Integers
    filled: int

    @classmethod
    def of(cls, keys: Sequence[Key], ids: Integers) -> Ranking:
        """The ranking of rows with these keys and ids, by row number.

        Raises ValueError for keys that have no order among them (text and numbers, NaN).
        """
        distinct = {key for key in keys if key is not None}
        if any(key != key for key in distinct):
            raise ValueError("A sort key is not a number (NaN); leave it out instead.")
        try:
            ascending = sorted(distinct)  # type: ignore[type-var]
        except TypeError as error:
            raise ValueError(f"Sort keys of one name must be of one kind: {error}.") from error
        ranks: dict[Key, int] = {key: rank for rank, key in enumerate(ascending)}
        ranks[None] = len(ascending)
        ranked = np.fromiter(map(ranks.__getitem__, keys), dtype=np.int64, count=len(keys))
        rows = np.lexsort((ids, ranked)).astype(np.int32)
        return cls(rows, int((ranked < len(ascending)).sum()))

    def joined(self, keys: Sequence[Key], fresh: Sequence[Key], ids: Integers) -> Ranking:
        """The ranking with new rows after the ``keys`` it was made of; ``ids`` are of all rows.

        Raises ValueError as ``of`` does.
        """
        if not fresh:
            return self
        if len(fresh) * _SORT_ANEW > len(ids):
            return Ranking.of([*keys, *fresh], ids)
        added = Ranking.of(fresh, ids[len(keys) :])
        number, order = ids.item, self.rows.item

        def key_and_id(place: int) -> tuple[Key, int]:
            row = order(place)
            return keys[row], number(row)

        places = []
        try:
            for row in added.rows[: added.filled].tolist():
                wanted = (fresh[row], number(len(keys) + row))
                places.append(bisect_left(range(self.filled), wanted, key=key_and_id))
        except TypeError as error:
            raise ValueError(f"Sort keys of one name must be of one kind: {error}.") from error
        unkeyed = range(self.filled, len(self.rows))
        for row in added.rows[added.filled :].tolist():
            wanted_id = number(len(keys) + row)
            places.append(
                self.filled + bisect_left(unkeyed, wanted_id, key=lambda at: number(order(at)))
            )
        rows = np.insert(self.rows, places, added.rows + len(keys))
        return Ranking(rows, self.filled + added.filled)

    def ordered(self, hits: Truths, descending: bool) -> Integers:
        """The rows that are hits (a truth value a row), in the order asked for."""
        places = np.flatnonzero(hits.take(self.rows))
        if descending:
            split = int(np.searchsorted(places, self.filled))
            places = np.concatenate([places[:split][::-1], places[split:][::-1]])
        return self.rows.take(places)

    def kept(self, keep: Integers) -> Ranking:
        """The ranking of the rows in ``keep`` (ascending) alone, renumbered from 0."""
        number = np.full(len(self.rows), -1, dtype=np.int32)
        number[keep] = np.arange(len(keep), dtype=np.int32)
        rows = number[self.rows]
        kept = rows >= 0
        return Ranking(rows[kept], int(kept[: self.filled].sum()))
