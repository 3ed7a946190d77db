"""What the columns in memory hold, and in what it differs from the records.

Nothing of the product reads rows back: they are put together here from the columns as they stand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from catalogue.holdings.facets import FACETS, ORDERS
from catalogue.holdings.search import index
from catalogue.holdings.search.columns import ColumnStore
from catalogue.holdings.search.haystack import Haystack
from catalogue.holdings.search.query import HoldingRow, Search
from catalogue.holdings.search.snapshot import AUDIENCE, QUANTITY, TYPE
from catalogue.holdings.search.tally import Value, ValueSets
from catalogue.models import Holding


@dataclass(frozen=True)
class Difference:
    """A holding of which the columns keep something else than its record says.

    ``name`` is a facet, a sort key or a field of HoldingRow, or "row" where one of the two is
    missing.
    """

    holding_id: int
    name: str
    kept: Any
    recorded: Any


def ids_in(columns: ColumnStore, search: Search) -> list[int]:
    """Ids of all rows of a search, in its order."""
    return columns.query(search, (), limit=None).ids


def rows_in(columns: ColumnStore) -> Iterator[HoldingRow]:
    """Every row by place: of its facets tuples, of its texts the words."""
    now = columns._snapshot
    type_ids = list(columns._type_numbers)
    values = {name: _values_by_set(sets) for name, sets in now.facets.items()}
    notes, own = words_in(now.notes), words_in(now.own)
    for at in np.flatnonzero(now.alive).tolist():
        line = now.cells[:, at].tolist()
        owner, visibility = now.audiences[line[AUDIENCE]]
        yield HoldingRow(
            int(now.ids[at]),
            owner,
            visibility,
            type_ids[line[TYPE]],
            line[QUANTITY],
            {name: values[name][line[number]] for name, number in columns._lines.items()},
            {name: columns._keys[name][at] for name in columns._sorts},
            " ".join(sorted(notes[at])),
            " ".join(sorted(own[at])),
        )


def words_in(stack: Haystack) -> list[set[str]]:
    """The distinct words of each text, by its number."""
    found: list[set[str]] = [set() for _ in range(stack.size)]
    texts = stack.texts.tolist()
    for word, start, end in zip(stack._known(), stack.firsts, stack.firsts[1:], strict=False):
        for number in texts[start:end]:
            found[number].add(word)
    for number, text in stack.patch.items():
        found[number] = set(text.split())
    return found


def _values_by_set(sets: ValueSets) -> list[tuple[Value, ...]]:
    found: list[list[Value]] = [[] for _ in range(sets.set_count)]
    for number, value in zip(sets.entry_set.tolist(), sets.entry_value.tolist(), strict=True):
        found[number].append(sets.values[value])
    return [tuple(each) for each in found]


def differing_rows() -> list[Difference]:
    """Everything in which the columns differ from the records, while nobody writes."""
    columns = index.store()
    kept = {row.id: row for row in rows_in(columns)}
    found: list[Difference] = []
    for row in index.rows_of(Holding.objects.all()):
        found += _differences(kept.pop(row.id, None), row)
    found += [Difference(row.id, "row", row, None) for row in kept.values()]
    known = zip(columns._type_numbers, words_in(columns._snapshot.types), strict=False)
    texts = dict(known)
    for pk, type_id, text in Holding.objects.filter(coin_type__isnull=False).values_list(
        "pk", "coin_type", "coin_type__search_text"
    ):
        if texts.get(type_id, set()) != set(text.split()):
            found.append(Difference(pk, "text of the type", texts.get(type_id), text))
    return found


def _differences(kept: HoldingRow | None, recorded: HoldingRow) -> Iterator[Difference]:
    if kept is None:
        yield Difference(recorded.id, "row", None, recorded)
        return
    for name, here, there in _pairs(kept, recorded):
        if here != there:
            yield Difference(recorded.id, name, here, there)


def _pairs(kept: HoldingRow, recorded: HoldingRow) -> Iterator[tuple[str, Any, Any]]:
    for name in ("owner", "visibility", "type_id", "quantity"):
        yield name, getattr(kept, name), getattr(recorded, name)
    for name in FACETS:
        yield name, _values(kept.facets[name]), _values(recorded.facets[name])
    for name in ORDERS:
        yield name, kept.keys[name], recorded.keys[name]
    yield "text", set(kept.text.split()), set(recorded.text.split())
    yield "own_text", set(kept.own_text.split()), set(recorded.own_text.split())


def _values(cell: Any) -> set[Any]:
    return set(cell or (None,)) if isinstance(cell, tuple) else {cell}
