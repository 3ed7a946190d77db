"""In what the columns in memory differ from the records: nothing, unless there is a fault."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from catalogue.holdings.facets import FACETS, ORDERS
from catalogue.holdings.search import index
from catalogue.holdings.search.asked import Row
from catalogue.models import Holding


@dataclass(frozen=True)
class Difference:
    """A holding of which the columns keep something else than its record says.

    ``name`` is a facet, a sort key or a field of Row, or "row" where one of the two is missing.
    """

    holding_id: int
    name: str
    kept: Any
    recorded: Any


def differing_rows() -> list[Difference]:
    """Everything in which the columns differ from the records, while nobody writes."""
    columns = index.store()
    kept = {row.id: row for row in columns.rows()}
    found: list[Difference] = []
    for row in index.rows_of(Holding.objects.all()):
        found += _differences(kept.pop(row.id, None), row)
    found += [Difference(row.id, "row", row, None) for row in kept.values()]
    texts = columns.type_texts()
    for pk, type_id, text in Holding.objects.filter(coin_type__isnull=False).values_list(
        "pk", "coin_type", "coin_type__search_text"
    ):
        if texts.get(type_id, set()) != set(text.split()):
            found.append(Difference(pk, "text of the type", texts.get(type_id), text))
    return found


def _differences(kept: Row | None, recorded: Row) -> Iterator[Difference]:
    if kept is None:
        yield Difference(recorded.id, "row", None, recorded)
        return
    for name, here, there in _pairs(kept, recorded):
        if here != there:
            yield Difference(recorded.id, name, here, there)


def _pairs(kept: Row, recorded: Row) -> Iterator[tuple[str, Any, Any]]:
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
