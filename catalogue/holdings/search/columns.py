"""Find, count and sort holdings by facets, from columns kept in memory.

Computed: which holdings a viewer sees under a search, how many of them have each value of each
facet, their order, and how many pieces they are. Each facet is counted with the choices made in
all *other* facets and without its own, so a second value of one facet widens the result and each
count says what choosing that value would give.

Units: holdings are rows with a whole-number id; pieces are the sum of their quantities. Texts
and sort keys come folded and collated. Source: common practice of faceted search; no standard.

How: every facet is one column of whole numbers, each standing for a set of values (nearly
always of one). A row *misses* the chosen facets of which it has no chosen value. It belongs to
the result with no miss, and counts for a facet when its misses are just its miss of that facet.

Threads: a reader takes one snapshot that never changes; a writer prepares the next one behind a
lock and puts it in place in one step. New rows go behind the end of the shared columns, where no
older snapshot reaches; removed rows are marked; now and then the columns are packed again.

>>> gull = HoldingRow(1, owner=7, visibility="public", type_id=5, quantity=3,
...            facets={"metal": "copper", "motif": ("gull", "net")}, keys={"year": 1931})
>>> lamp = HoldingRow(2, owner=8, visibility="private", facets={"metal": "silver"},
...            text="edge knock")
>>> store = ColumnStore(["metal", "motif"], ["year"], [gull, lamp], {5: "halvern tinne"})
>>> def seen(owner: int, visibility: str) -> bool:
...     return owner == 8 or visibility == "public"
>>> result = store.query(Search(seen, choices={"metal": frozenset({"copper"})}, sort="year"))
>>> result.ids, result.total, result.pieces
([1], 1, 3)
>>> result.counts
{'metal': {'copper': 1, 'silver': 1}, 'motif': {'gull': 1, 'net': 1}}
>>> store.query(Search(seen, text="hal inn")).ids
[1]
"""

from __future__ import annotations

import threading
from array import array
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalogue.holdings.search.batches import Batch, Texts
from catalogue.holdings.search.query import HoldingRow, Result, Search
from catalogue.holdings.search.ranking import Key
from catalogue.holdings.search.snapshot import AUDIENCE, QUANTITY, TYPE, Snapshot
from catalogue.holdings.search.tally import Truths, Value
from series.arrays import Arrays

__all__ = ["ColumnStore", "HoldingRow", "Result", "Search", "Value"]

_ALIKE = 10_000  # sort keys remembered while rows are gathered, so that like ones are one
_SETTLE_AFTER = 2_000  # patched texts or removed rows before all is packed again


@dataclass(frozen=True, slots=True)
class _Found:
    """Truth values a row: seen and worded as asked, the viewer's own, in the result; misses."""

    base: Truths
    owned: Truths
    hits: Truths
    misses: dict[str, Truths]
    failures: NDArray[np.uint8]  # how many chosen facets the row misses


class ColumnStore:
    """Holdings in columns; any number of threads may read and write at once.

    ``facets`` and ``sorts`` name the columns, ``types`` gives the folded text of each type by
    its id. Facets alone can be private: keep out of texts and sort keys what a viewer who sees
    the row may not know. Values that no row has any more stay in memory until a new store is
    made, though nothing shows them.
    """

    def __init__(
        self,
        facets: Sequence[str],
        sorts: Sequence[str],
        rows: Iterable[HoldingRow] = (),
        types: Mapping[int, str] | None = None,
    ) -> None:
        if len(facets) > 255 or len({*facets}) < len(facets) or len({"id", *sorts}) <= len(sorts):
            raise ValueError("Name up to 255 facets, and sort keys other than 'id', once each.")
        self._lines = {name: line for line, name in enumerate(facets)}
        self._sorts = frozenset(sorts)
        self._writing = threading.Lock()
        self._row_of: dict[int, int] = {}
        self._type_numbers: dict[int | None, int] = {None: 0}
        self._keys: dict[str, list[Key]] = {name: [] for name in ("id", *sorts)}
        self._snapshot = Snapshot.empty(facets, self._keys)
        self._cells, self._ids = self._snapshot.cells, self._snapshot.ids
        self.replace(rows, types)

    def __len__(self) -> int:
        return int(self._snapshot.alive.sum())

    # Reading

    def query(
        self,
        search: Search,
        facets: Collection[str] | None = None,
        offset: int = 0,
        limit: int | None = 60,
    ) -> Result:
        """Total, one page of ids (None: all), pieces, and counts of ``facets`` (None: of all).

        Raises ValueError for a facet or sort key the store has not, or a negative page.
        """
        if offset < 0 or (limit is not None and limit < 0):
            raise ValueError("A page starts at 0 or later and holds 0 rows or more.")
        names = self._lines if facets is None else facets
        _check_known(names, self._lines, "facet")
        now = self._snapshot
        found = self._find(now, search)
        rows = np.flatnonzero(found.hits)
        counts: dict[str, dict[Value, int]] = {}
        for name in names:
            counted = rows
            if name in found.misses:
                only_here = found.failures == found.misses[name].view(np.uint8)
                counted = np.flatnonzero(found.base & only_here)
            if name in search.private_facets:
                counted = counted.compress(found.owned.take(counted))
            numbers = now.cells[self._lines[name]].take(counted)
            counts[name] = dict.fromkeys(search.choices.get(name, ()), 0)
            counts[name] |= now.facets[name].counts(numbers)
        ordered = now.rankings[search.sort].ordered(found.hits, search.descending)
        ids: list[int] = now.ids[ordered[offset:][:limit]].tolist()
        pieces = int(now.cells[QUANTITY].take(rows).sum(dtype=np.int64))
        return Result(len(rows), ids, counts, pieces)

    def vocabulary(self) -> list[str]:
        """Every distinct word of every text, whoever may see it."""
        now = self._snapshot
        return sorted({*now.types.vocabulary(), *now.notes.vocabulary(), *now.own.vocabulary()})

    def _find(self, now: Snapshot, search: Search) -> _Found:
        _check_known(search.choices, self._lines, "facet")
        _check_known(search.private_facets, self._lines, "facet")
        _check_known((search.sort,), self._keys, "sort key")
        audience = now.cells[AUDIENCE]
        seen = np.array([search.visible(*pair) for pair in now.audiences], dtype=np.bool_)
        own = np.array([owner == search.viewer for owner, _ in now.audiences], dtype=np.bool_)
        base = now.alive & seen.take(audience)
        owned = own.take(audience)
        for word in search.text.split():
            base &= now.having(word) | (now.having(word, own=True) & owned)
        if search.only is not None:
            base &= np.isin(now.ids, np.fromiter(search.only, dtype=np.int64))
        failures = np.zeros(len(base), dtype=np.uint8)
        misses = {}
        for name, chosen in search.choices.items():
            if chosen:
                missed = now.facets[name].misses(chosen).take(now.cells[self._lines[name]])
                if name in search.private_facets:
                    missed |= ~owned
                failures += missed
                misses[name] = missed
        return _Found(base, owned, base & (failures == 0), misses, failures)

    # Kept on disk

    def packed(self) -> tuple[Arrays, dict[str, Any]]:
        """All of it as arrays, and what JSON can say, with no trace of rows that were removed.

        Raises TypeError, when it is written, for values and keys that JSON cannot say.
        """
        with self._writing:
            self._settle_all()
            arrays, plain = self._snapshot.packed()
            keys = {}
            for name, column in self._keys.items():
                numbers: dict[Key, int] = {}
                codes = [numbers.setdefault(key, len(numbers)) for key in column]
                arrays[f"key {name}"] = np.array(codes, dtype=np.int32)
                keys[name] = list(numbers)
            arrays |= {"ids": self._ids, "cells": self._cells}
            return arrays, plain | {"keys": keys, "types": list(self._type_numbers)}

    @classmethod
    def unpacked(cls, arrays: Arrays, plain: dict[str, Any]) -> ColumnStore:
        """The store that was packed. The arrays are its own from now on, and written to."""
        keys = plain["keys"]
        store = cls(list(plain["values"]), [name for name in keys if name != "id"])
        store._ids, store._cells = arrays["ids"], arrays["cells"]
        store._snapshot = Snapshot.unpacked(arrays, plain, store._ids, store._cells)
        store._row_of = {number: row for row, number in enumerate(store._snapshot.ids.tolist())}
        store._type_numbers = {type_id: number for number, type_id in enumerate(plain["types"])}
        for name, distinct in keys.items():
            store._keys[name] = [distinct[code] for code in arrays[f"key {name}"].tolist()]
        return store

    # Writing

    def replace(
        self,
        rows: Iterable[HoldingRow],
        types: Mapping[int, str] | None = None,
        removed: Iterable[int] = (),
    ) -> None:
        """Put rows in, in place of those with their ids; set texts of types; take rows out.

        Readers see all of it or nothing. Of rows with one id the last counts; an id both among
        ``rows`` and in ``removed`` stays, an unknown one is passed over. Raises ValueError, and
        changes nothing, for a facet or sort key the store has not, or keys of one sort that have
        no order among them.
        """
        with self._writing:
            batch = self._gathered(rows)
            if len(self._snapshot.ids) + len(batch.ids) > len(self._ids):
                self._settle(len(batch.ids))
            self._append(batch, types or {}, removed)
            now = self._snapshot
            dead = len(now.ids) - len(self._row_of)
            patched = max(len(now.notes.patch), len(now.own.patch))
            if patched > _SETTLE_AFTER or dead > _SETTLE_AFTER + len(now.ids) // 4:
                self._settle(0)
            if len(now.types.patch) > _SETTLE_AFTER:
                self._snapshot = replace(self._snapshot, types=now.types.settled())

    def _gathered(self, rows: Iterable[HoldingRow]) -> Batch:
        """The rows as columns; a row is let go of before the next is asked for."""
        audiences = {pair: number for number, pair in enumerate(self._snapshot.audiences)}
        batch = Batch(
            [array("i") for _ in self._cells],
            {name: [] for name in self._keys},
            audiences,
            Texts(patch=len(self._snapshot.ids) > 0),
            Texts(patch=len(self._snapshot.ids) > 0),
        )
        lines = [
            (name, self._snapshot.facets[name], batch.cells[at]) for name, at in self._lines.items()
        ]
        alike: dict[Key, Key] = {}
        for row in rows:
            _check_known(row.facets, self._lines, "facet")
            _check_known(row.keys, self._sorts, "sort key")
            for name, facet, line in lines:
                line.append(facet.number(row.facets.get(name)))
            pair = (row.owner, row.visibility)
            batch.cells[AUDIENCE].append(audiences.setdefault(pair, len(audiences)))
            batch.cells[TYPE].append(self._type_number(row.type_id))
            batch.cells[QUANTITY].append(row.quantity)
            for name, column in batch.keys.items():
                key = row.keys.get(name)
                column.append(alike.setdefault(key, key))
            if len(alike) > _ALIKE:  # most are of one row alone, and not worth remembering
                alike.clear()
            if row.text:
                batch.notes.add(len(batch.ids), row.text)
            if row.own_text:
                batch.own.add(len(batch.ids), row.own_text)
            batch.ids.append(row.id)
        return batch

    def _append(self, batch: Batch, types: Mapping[int, str], removed: Iterable[int]) -> None:
        """Put the batch behind the last row and make the snapshot that has it."""
        now = self._snapshot
        old, size = len(now.ids), len(now.ids) + len(batch.ids)
        self._ids[old:size] = batch.ids
        for line, cells in zip(self._cells, batch.cells, strict=True):
            line[old:size] = cells
        latest: dict[int, int] = {}
        dead = []
        for row, number in enumerate(batch.ids, start=old):
            dead.append(latest.get(number, self._row_of.get(number)))
            latest[number] = row
        gone = list(removed)
        dead += [self._row_of.get(number) for number in gone]
        alive = np.concatenate([now.alive, np.ones(len(batch.ids), dtype=np.bool_)])
        alive[np.array([row for row in dead if row is not None], dtype=np.int64)] = False
        type_texts = {self._type_number(number): text for number, text in types.items()}
        snapshot = Snapshot(
            facets={name: facet.grown() for name, facet in now.facets.items()},
            rankings={
                name: ranking.joined(self._keys[name], batch.keys[name], self._ids[:size])
                for name, ranking in now.rankings.items()
            },
            ids=self._ids[:size],
            cells=self._cells[:, :size],
            alive=alive,
            audiences=tuple(batch.audiences),
            types=now.types.patched(type_texts, len(self._type_numbers)),
            notes=batch.notes.behind(now.notes, old, size),
            own=batch.own.behind(now.own, old, size),
        )
        for number in gone:
            self._row_of.pop(number, None)
        self._row_of.update(latest)
        for name, column in self._keys.items():
            column += batch.keys[name]
        self._snapshot = snapshot

    def _type_number(self, type_id: int | None) -> int:
        return self._type_numbers.setdefault(type_id, len(self._type_numbers))

    def _settle_all(self) -> None:
        """Pack away every trace of what was removed or patched, if there is any."""
        now = self._snapshot
        if now.notes.patch or now.own.patch or len(self._row_of) < len(now.ids):
            self._settle(0)
        if now.types.patch:
            self._snapshot = replace(self._snapshot, types=now.types.settled())

    def _settle(self, rows: int) -> None:
        """Pack the rows that are left into new columns with room for so many more and then some."""
        now = self._snapshot
        keep = np.flatnonzero(now.alive)
        size = len(keep)
        room = size + rows + max(_SETTLE_AFTER, size // 8)
        cells = np.zeros((len(self._cells), room), dtype=np.int32)
        np.take(now.cells, keep, axis=1, out=cells[:, :size])
        ids = np.zeros(room, dtype=np.int64)
        ids[:size] = now.ids[keep]
        kept = keep.tolist()
        keys = {name: [column[row] for row in kept] for name, column in self._keys.items()}
        snapshot = replace(
            now,
            rankings={name: ranking.kept(keep) for name, ranking in now.rankings.items()},
            ids=ids[:size],
            cells=cells[:, :size],
            alive=np.ones(size, dtype=np.bool_),
            notes=now.notes.settled(keep),
            own=now.own.settled(keep),
            recent={},
            lock=threading.Lock(),
        )
        self._row_of = {number: row for row, number in enumerate(ids[:size].tolist())}
        self._cells, self._ids, self._keys = cells, ids, keys
        self._snapshot = snapshot


def _check_known(names: Iterable[str], known: Collection[str], what: str) -> None:
    for name in names:
        if name not in known:
            raise ValueError(f"There is no {what} {name!r}; known are {', '.join(known)}.")
