"""The holdings of the whole site in columns: loaded from the database, kept up to date.

``store()`` is what browsing asks; it costs one query when nothing has changed. The columns are
made by ``rows_of``, the one function that turns records into rows, so a row can always be
compared with its record.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import F, QuerySet

from catalogue.holdings.facets import FACETS, ORDERS
from catalogue.holdings.search.columns import ColumnStore, HoldingRow
from catalogue.holdings.search.ranking import Key
from catalogue.holdings.up_to_date import Changed, UpToDate
from catalogue.models import Change, Holding
from series.models import CoinType
from series.parcels import parcels

_PARCEL = 2_000  # holdings read at a time
_OF_ROW = ("pk", "owner_id", "visibility", "coin_type_id", "quantity", "search_text", "own_text")
_READ = (
    *_OF_ROW,
    *(facet.column for facet in FACETS.values()),
    *(F(order.way) for order in ORDERS.values()),
)


def store() -> ColumnStore:
    """The columns as of the last committed change."""
    return _columns.current()


def _type_texts() -> dict[int, str]:
    held = Holding.objects.filter(coin_type__isnull=False).order_by().values("coin_type")
    types = CoinType.everything.filter(pk__in=held).order_by()
    return dict(types.values_list("pk", "search_text"))


def _all_columns() -> ColumnStore:
    columns = ColumnStore(list(FACETS), list(ORDERS), rows_of(Holding.objects.all()))
    columns.replace((), _type_texts())
    return columns


def _patched(columns: ColumnStore, changed: Changed) -> ColumnStore:
    """The same columns with these records as they are now; of a type that is gone no text stays."""
    types = {ref for kind, ref in changed if kind == Change.Kind.TYPE}
    ids = {ref for kind, ref in changed if kind == Change.Kind.HOLDING}
    for some in parcels(types):
        ids |= set(Holding.objects.filter(coin_type__in=some).values_list("pk", flat=True))
    rows: list[HoldingRow] = []
    texts = dict.fromkeys(types, "")
    every = CoinType.everything.order_by()
    for some in parcels(ids):
        rows += rows_of(Holding.objects.filter(pk__in=some))
        texts |= dict(every.filter(holdings__in=some).values_list("pk", "search_text"))
    for some in parcels(types):
        texts |= dict(every.filter(pk__in=some).values_list("pk", "search_text"))
    columns.replace(rows, texts, removed=ids - {row.id for row in rows})
    return columns


_columns = UpToDate("holdings", _all_columns, _patched, ColumnStore.packed, ColumnStore.unpacked)
forget = _columns.forget


def rows_of(holdings: QuerySet[Holding]) -> Iterator[HoldingRow]:
    """The rows of these holdings, by id; a constant number of queries for each ``_PARCEL``.

    Only one parcel of records is in memory at a time. A record that changes meanwhile may come as
    it was or as it is; its change then has a number after the one the reader began at.
    """
    last = 0
    while True:
        parcel = holdings.filter(pk__gt=last).order_by("pk").values_list(*_READ)
        records = list(parcel[:_PARCEL])
        if not records:
            return
        first, last = records[0][0], records[-1][0]
        some = holdings.filter(pk__range=(first, last))
        cells = [facet.cells(some) for facet in FACETS.values()]
        for record in records:
            yield _row(record, cells)
        if len(records) < _PARCEL:
            return


def _row(record: Sequence[Any], cells: Sequence[Callable[[Any], Any]]) -> HoldingRow:
    pk, owner, visibility, type_id, quantity, text, own_text, *read = record
    of_facets, of_orders = read[: len(cells)], read[len(cells) :]
    values = [cell(each) for cell, each in zip(cells, of_facets, strict=True)]
    return HoldingRow(
        pk,
        owner,
        visibility,
        type_id,
        quantity,
        facets=dict(zip(FACETS, values, strict=True)),
        keys=dict(zip(ORDERS, map(_key, of_orders), strict=True)),
        text=text,
        own_text=own_text,
    )


def _key(value: Any) -> Key:
    """What sorts as the value does and JSON can say."""
    if isinstance(value, datetime):
        return value.timestamp()
    return float(value) if isinstance(value, Decimal) else value
